/** Whether something on the page is not as the server sent it: typed, chosen or ticked. */
export const hasTyped = (): boolean =>
  [...document.querySelectorAll('main input, main textarea, main select')].some((field) => {
    if (field instanceof HTMLSelectElement)
      return [...field.options].some((option) => option.selected !== isFirstChoice(option, field));
    if (field instanceof HTMLTextAreaElement) return field.value !== field.defaultValue;
    if (!(field instanceof HTMLInputElement) || field.type === 'hidden') return false;
    return field.checked !== field.defaultChecked || field.value !== field.defaultValue;
  });

/** A list in which nothing is chosen shows its first entry. */
const isFirstChoice = (option: HTMLOptionElement, { options, multiple }: HTMLSelectElement): boolean =>
  multiple || [...options].some(({ defaultSelected }) => defaultSelected)
    ? option.defaultSelected
    : option === [...options].find(({ disabled }) => !disabled);
