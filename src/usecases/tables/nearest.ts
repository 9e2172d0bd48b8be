/** The known words nearest to a mistyped one, by edit distance (Levenshtein 1966), to suggest what was meant. */
export function nearest(word: string, known: Iterable<string>, most = 2): string[] {
  const close: { word: string; distance: number }[] = [];
  for (const candidate of known) {
    const distance = editDistance(word.toLowerCase(), candidate.toLowerCase(), 4);
    if (distance <= Math.max(1, Math.min(3, word.length / 2))) close.push({ word: candidate, distance });
  }
  return close
    .sort((a, b) => a.distance - b.distance || (a.word < b.word ? -1 : 1))
    .slice(0, most)
    .map((entry) => entry.word);
}

function editDistance(a: string, b: string, give: number): number {
  if (Math.abs(a.length - b.length) > give) return give + 1;
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)));
    row = next;
  }
  return row[b.length]!;
}
