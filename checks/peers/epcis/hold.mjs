// Holds documents to the schema, and sees that the schema bites: a document with a needed part taken away must fail.
import { readdirSync, readFileSync } from 'node:fs';
import Ajv from 'ajv';
import addFormats from 'ajv-formats';

const schema = JSON.parse(readFileSync(new URL('package/src/schema/EPCISDocument.schema.json', import.meta.url), 'utf8'));
const holds = addFormats(new Ajv({ strict: false, allErrors: true })).compile(schema);
const folder = process.argv[2];
let events = 0;
let bitten = 0;
const files = readdirSync(folder).filter((name) => name.endsWith('.json'));
if (files.length < 4) throw new Error(`${files.length} documents only`);
for (const file of files) {
  const text = readFileSync(`${folder}/${file}`, 'utf8');
  const document = JSON.parse(text);
  if (!holds(document)) {
    console.error(file, JSON.stringify(holds.errors.slice(0, 4), null, 1));
    process.exit(1);
  }
  events += document.epcisBody.eventList.length;
  const wrongs = [
    (d) => delete d.schemaVersion,
    (d) => delete d.epcisBody.eventList[0].eventTime,
    (d) => (d.epcisBody.eventList[0].eventTimeZoneOffset = 'here'),
    (d) => (d.epcisBody.eventList[0].bizStep = 'selling_prawns'),
    (d) => (d.epcisBody.eventList[0].disposition = 'eaten'),
    (d) => (d.epcisBody.eventList[0].quantityList = [{ quantity: 2 }]),
    (d) => (d.epcisBody.eventList[0].readPoint = {}),
  ];
  for (const wrong of wrongs) {
    const bad = JSON.parse(text);
    wrong(bad);
    if (holds(bad)) {
      console.error(`${file}: the schema takes what it must not: ${wrong}`);
      process.exit(1);
    }
    bitten += 1;
  }
}
console.log(`${files.length} documents of ${events} events: every one holds to the schema of EPCIS 2.0; ${bitten} made wrong on purpose are refused.`);
