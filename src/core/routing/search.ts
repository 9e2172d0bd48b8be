/** placeholder to be replaced in this commit */
export {};
