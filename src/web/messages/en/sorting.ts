/** What can be taken and what cannot: one page for the yard. */
export const sorting = {
  link: 'What we can take, and what not: a sheet for the yard',
  title: 'What goes into the film sack',
  lead: 'Soft film that crackles or stretches, empty, clean and dry. If in doubt, leave it out.',
  yes: 'Yes, please',
  no: 'No, thank you',
  take: {
    wrap: 'Pallet and stretch wrap',
    bags: 'Carrier bags and sacks',
    covers: 'Garment and mattress covers',
    shrink: 'Shrink film from multipacks',
    bubble: 'Bubble wrap and air cushions',
  },
  leave: {
    strapping: 'Strapping and tape: they jam the press',
    pvc: 'PVC, cling film, tarpaulins: bad fumes when heated',
    food: 'Food, grease, anything dirty or wet',
    foil: 'Crisp packets and anything with metal inside',
    hard: 'Bottles, tubs, hard plastic, foam',
    sharps: 'Needles, glass, blades, unknown contents: never',
  },
  how: 'How',
  steps: [
    'Empty it and shake it out. Paper labels may stay.',
    'Keep clear and coloured film apart, if you have the room.',
    'Tie the sack when it is full. Do not press it down with your hands or feet.',
    'Keep it dry, off the ground, and clear of doors and ways out.',
  ],
  safety:
    'Found something sharp, chemical or unknown? Do not reach in. Set the sack aside and call us. Your own workplace rules come first.',
  print: 'This page prints on one sheet: use your browser’s print command.',
};
