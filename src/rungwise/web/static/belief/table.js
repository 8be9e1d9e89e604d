// A unit's table: what every check reads on every particle of every suspect. Columns are checks.

const grouped = (keys) => {
  const names = [...new Set(keys)];
  const place = new Map(names.map((name, at) => [name, at]));
  return { names, of: Int32Array.from(keys, (key) => place.get(key)), index: (name) => place.get(name) };
};

/**
 * told: { suspects, checks, suspectOf, reading, readingSd, choice, slopes, slopeOf, own, tangent, known }
 * reading, readingSd, tangent: for each check its numbers on all particles; +Infinity is OL, NaN
 * cannot be made. choice: for a check's column, the probability of each choice on all particles.
 * slopes: { unknown, by, longest, unknowns }, rows of [slopes][check][longest]. own: [slopes][check].
 * known: what the program knows of the unit's parts, worked out beforehand (see carried_facts.py).
 */
export const tableOf = (told) => {
  const { suspects, checks } = told;
  const placeOfCheck = new Map(checks.map((card, at) => [card.id, at]));
  const placeOfSuspect = new Map(suspects.map((card, at) => [card.id, at]));
  const rows = suspects.map(() => []);
  told.suspectOf.forEach((suspect, at) => rows[suspect].push(at));
  return {
    ...told,
    particles: told.suspectOf.length,
    rows,
    bySuspect: grouped(suspects.map((each) => each.id)),
    byRepair: grouped(suspects.map((each) => each.repair)),
    byPart: grouped(suspects.map((each) => each.part)),
    checkIndex: (id) => {
      if (!placeOfCheck.has(id)) throw new Error(`There is no check ${id}.`);
      return placeOfCheck.get(id);
    },
    has: (id) => placeOfCheck.has(id),
    check: (id) => checks[placeOfCheck.get(id)],
    suspectIndex: (id) => placeOfSuspect.get(id),
    suspect: (id) => suspects[placeOfSuspect.get(id)],
  };
};
