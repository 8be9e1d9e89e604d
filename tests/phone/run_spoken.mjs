// Says what the phone's module makes of each text: node run_spoken.mjs FOLDER '[["en", "two forty"]]'
import { pathToFileURL } from "node:url";
const [folder, told] = process.argv.slice(2);
const { heard } = await import(pathToFileURL(`${folder}/numbers.js`));
console.log(JSON.stringify(JSON.parse(told).map(([language, text]) => heard(text, language))));
