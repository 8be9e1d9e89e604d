// Works calls by the phone's belief: node run_belief.mjs FOLDER_OF_MODULES FOLDER, JSON out.
// In the folder: 0.table, 1.table, ... and calls.json, for each table its calls.
// A call: { weights, said, readings: [[id, value]], skipped, suspected, bands: [[id, repair]] }.
import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { pathToFileURL } from "node:url";

const [modules, folder] = process.argv.slice(2);
const load = (name) => import(pathToFileURL(`${modules}/${name}.js`));
const [{ carriedTable }, { ReadingModel }, { Belief }, { verdict }, { nextCheck }, { expectedBand }, { fits }] = await Promise.all(
  ["carried", "reading_model", "belief", "verdict", "advice", "band", "oddness"].map(load),
);
const told = (model, call) => {
  const { table } = model;
  let belief = Belief.start(model, call.weights ?? {}, call.said);
  for (const [id, value] of call.readings) belief = belief.observe(id, value === "OL" ? Infinity : value);
  const skipped = new Set(call.skipped ?? []);
  const allowed = new Set(table.checks.map((card) => card.id).filter((id) => !skipped.has(id)));
  const found = verdict(belief, { suspected: call.suspected ?? null, allowed });
  const advice = nextCheck(belief, { allowed });
  const answer = (each) => [each.repair, each.suspect.id, each.probability];
  return {
    suspects: [...belief.suspects[0]],
    none: belief.noneOfThese,
    fits: fits(belief),
    surprise: belief.surprise(),
    evidence: belief.evidence(table.byRepair).map((row) => [...row]),
    bands: (call.bands ?? []).map(([id, repair]) => expectedBand(belief, id, repair).spans),
    verdict: {
      kind: found.kind, probability: found.probability, answer: found.answer && answer(found.answer),
      runners_up: found.runnersUp.map(answer), try_order: found.tryOrder.map(answer), doubtful: found.doubtful,
      clashes: found.clashes, shown: found.shown, first: found.first.map((card) => card.id), again: found.again,
      causes: found.causes.map(answer), watch: found.watch.map(answer),
      confirm: found.confirm && [found.confirm.check.id, found.confirm.go, found.confirm.stop],
      wrong_part: found.wrongPart && [found.wrongPart.part, found.wrongPart.believed, found.wrongPart.now, found.wrongPart.clearedBy.map((each) => [each.place, each.bits])],
    },
    advice: {
      stop: advice.stop, why: advice.why, act_cost: advice.actCost, open_bits: advice.openBits,
      candidates: advice.candidates.map((each) => [each.check.id, each.bits, each.minutes, each.cost]),
    },
  };
};
const plain = (_, value) => (value === Infinity ? "inf" : value === -Infinity ? "-inf" : Number.isNaN(value) ? "nan" : value);
const calls = JSON.parse(readFileSync(`${folder}/calls.json`, "utf8"));
const answers = calls.map((some, at) => {
  const model = new ReadingModel(carriedTable(new Uint8Array(gunzipSync(readFileSync(`${folder}/${at}.table`)))));
  return some.map((call) => told(model, call));
});
process.stdout.write(JSON.stringify(answers, plain));
