import { useSheet } from './shown.ts';

/** To the sheet, from every other screen. */
export const Back = () => {
  const { say } = useSheet();
  return (
    <p class="sheet-back">
      <a href="/driver">‹ {say.sheet.back}</a>
    </p>
  );
};
