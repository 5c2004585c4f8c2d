// contract.mjs BINARY FOLDER: jobs against the JSON Schema of `skimcut schema`, by FOLDER's ajv, as FOLDER's yaml reads them.
//
// What skimcut takes, the schema must take: samples, jobs of the unit tests, jobs that are refused only for what they ask. What is bad
// in its form must fail, and so must every sample with one key damaged.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'

const [binary, folder] = process.argv.slice(2)
const require = createRequire(resolve(folder, 'package.json'))
const { Ajv2020 } = require('ajv/dist/2020.js')
const YAML = require('yaml')

let passed = 0
let failed = 0
const check = (name, fault) => {
  if (!fault) {
    passed++
    return
  }
  failed++
  console.log(`${name}: ${fault}`)
}

// --- the schema itself ---

const printed = spawnSync(binary, ['schema'], { encoding: 'utf8', maxBuffer: 1 << 24 })
const schema = JSON.parse(printed.stdout)
// A value that may be a number or a text is a union on purpose; for the rest ajv is as strict as it can be.
const ajv = new Ajv2020({ strict: true, allErrors: true, allowUnionTypes: true })
check('the schema against draft 2020-12', ajv.validateSchema(schema) ? null : ajv.errorsText())
const validate = ajv.compile(schema)

const faultsOf = (value) => (validate(value) ? null : ajv.errorsText(validate.errors, { separator: '\n  ' }))

// Every default is a value that its own key takes.
const defaults = (node, path) => {
  if (node === null || typeof node !== 'object') return
  if (node.default !== undefined) {
    const { $defs } = schema
    const own = new Ajv2020({ strict: true, allowUnionTypes: true }).compile({ $defs, ...node })
    check(`the default of ${path}`, own(node.default) ? null : `${JSON.stringify(node.default)} is not taken`)
  }
  for (const [key, value] of Object.entries(node)) defaults(value, `${path}/${key}`)
}
defaults(schema, '')

// --- what skimcut takes ---

const scratch = mkdtempSync(join(tmpdir(), 'contract-'))
process.on('exit', () => rmSync(scratch, { recursive: true, force: true }))

// 0 taken, 1 understood and refused, 2 bad.
// A crash is no status.
const ended = ({ status, signal, error }) => {
  if (signal || error) throw new Error(`skimcut: ${signal ?? error.message}`)
  return status
}
const statusOf = (text) => {
  writeFileSync(join(scratch, 'job.yaml'), text)
  return ended(spawnSync(resolve(binary), ['plan', 'job.yaml'], { cwd: scratch }))
}

const read = (text) => {
  try {
    return { value: YAML.parse(text, { logLevel: 'silent' }) }
  } catch (error) {
    return { error: error.message }
  }
}

const samples = readdirSync('samples').filter((name) => name.endsWith('.yaml'))
for (const name of samples) {
  const text = readFileSync(join('samples', name), 'utf8')
  check(name, faultsOf(YAML.parse(text)))
  writeFileSync(join(scratch, name), text)
}

// --- what skimcut says of the same ---

// What a schema cannot see. Everything else that is bad must fail.
const BEYOND = [
  [/^shop\.yaml:|cannot read|shop's file|'shop' has no value/, 'the shop is another file'],
  [/^job\.yaml:\d+:\d+: error: \S+ \S+ (?!is)\S+ is out of range/, 'a number with its unit is text'],
  [/'[^']+' is no whole number of nanometres|has too many digits/, 'arithmetic'],
  [/'e0' is not one of the units/, 'YAML reads 6e0 as 6'],
  [/is above|at its finished height|deeper than|larger than|less than the clearance|over a quarter|not between|zigzag cuts|not a whole number of graduations/, 'two keys contradict each other'],
  [/there is no cutter|the shop has no cutter|the cutter has no 'teeth'/, 'which cutter it is'],
  [/there is no post/, 'a post may be a file'],
  [/clamps; 64 are the most/, 'no row says how many'],
  [/UTF-8|separator|control characters|stands here twice|second document|did not find expected/, 'it is no YAML that has one meaning'],
]

const bad = readdirSync('tests/bad').filter((name) => existsSync(join('tests/bad', name, 'job.yaml')))
let understood = 0
let caught = 0
for (const name of bad) {
  const text = readFileSync(join('tests/bad', name, 'job.yaml'), 'utf8')
  const [first, message] = readFileSync(join('tests/bad', name, 'message.txt'), 'utf8').split('\n')
  const own = existsSync(join('tests/bad', name, 'command'))
  const { value, error } = read(text)
  // With a command of its own the job may be sound, and only the command bad.
  if (own ? statusOf(text) < 2 : first === 'exit 1') {
    understood++
    check(`tests/bad/${name}, which skimcut understands`, error ?? faultsOf(value))
  } else if (!own && !BEYOND.some(([said]) => said.test(message))) {
    caught++
    check(`tests/bad/${name}`, error || faultsOf(value) ? null : `passes; skimcut says: ${message}`)
  }
}
check('jobs understood and refused', understood >= 20 ? null : `only ${understood} were found`)
check('bad jobs caught', caught >= 100 ? null : `only ${caught} were found`)

// --- jobs in the unit tests: texts in C, of which those in a row are one; a job begins with its units ---

const literal = /"((?:[^"\\\n]|\\.)*)"(?:[ \t\n]*"((?:[^"\\\n]|\\.)*)")*/g
const unescape = (text) => text.replace(/\\n/g, '\n').replace(/\\t/g, '\t').replace(/\\"/g, '"').replace(/\\\\/g, '\\')
let embedded = 0
for (const name of readdirSync('tests/unit').filter((name) => name.endsWith('.c'))) {
  const source = readFileSync(join('tests/unit', name), 'utf8').replace(/\\[ \t]*\n/g, '\n')
  for (const [found] of source.matchAll(literal)) {
    const text = [...found.matchAll(/"((?:[^"\\]|\\.)*)"/g)].map((part) => unescape(part[1])).join('')
    if (!/^units: /.test(text) || text.includes('%s') || text.includes('shop:') || statusOf(text) > 1) continue
    const { value, error } = read(text)
    embedded++
    check(`a job in ${name}`, error ?? (faultsOf(value) && `${faultsOf(value)}\n${text}`))
  }
}
check('jobs in unit tests', embedded >= 20 ? null : `only ${embedded} were found`)

// --- every way to write a number, with skimcut as the judge ---

const JOB = `units: mm
material: low-carbon steel
stock: {length: 120, width: 50, height: 27.5}
finished_height: 25
cutter: {kind: shell mill, diameter: 63, teeth: 5, edge: carbide, entering_angle: 90}
`
const NUMERALS = ['25', '25.0', '25.', '.5', '+25', '-25', '1/2', '25-1/2', '25 1/2', '25  1/2', '25 -1/2', '25- 1/2', '1/0', '1/', '/2', '25-', '1.5/2',
  '25.5-1/2', '25./2', '', '.', '+', '- 25', '2 5', '1,5', '0x19', '1_0', 'twenty', '25/2/2', '25-1-1/2', '007', '6-3/4', '1 1/16', '.5.5', '3/04', '1/2.', '1/2.5']
const UNITS = ['', 'in', 'inch', 'thou', 'mm', 'um', 'uin', 'm', 'in/min', 'm/min', 'ft/min', 'm/s', 'rpm', '1/min', '%', 'deg', 'W', 'kW', 'hp', 'N', 'kN', 'lbf', 'kg', 'MM', '"']
const FIELDS = [
  'stock: {length: 120, width: 50, height: @}', 'cut: {cutting_speed: @}', 'cut: {stepover: @}', 'cut: {test_cut: @}', 'program: {number: @}', 'hold: {safety: @}',
  'machine: {kind: cnc, feed: {max: @}}', 'machine: {kind: cnc, spindle: {power: @}}', 'machine: {kind: cnc, spindle: {max: @}}',
  'machine: {kind: cnc, spindle: {speeds: [@]}}', 'vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100, clamping_force: @}',
  'vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100, offset: @}', 'cutter: {kind: shell mill, diameter: 63, teeth: 5, edge: carbide, entering_angle: @}',
]
// In quotes, so that YAML leaves it to skimcut; a text is not held to limits.
const FORM = /is not a|is not one of the units|needs a unit|has a comma|has no value/
let written = 0
for (const field of FIELDS) {
  const key = field.split(':')[0]
  const rest = JOB.split('\n').filter((line) => !line.startsWith(`${key}:`)).join('\n')
  for (const numeral of NUMERALS) {
    for (const unit of numeral === '25' || numeral === '25-1/2' ? UNITS : ['', 'mm', '%', '1/min']) {
      // 251/min is a fraction to skimcut, and to a pattern 25 with a unit that begins with a digit.
      for (const blank of unit && unit !== '1/min' && numeral === '25' ? ['', ' ', '  '] : [' ']) {
        const text = `${rest}${field.replace('@', () => `'${numeral}${unit && blank}${unit}'`)}\n`
        writeFileSync(join(scratch, 'job.yaml'), text)
        const run = spawnSync(resolve(binary), ['plan', 'job.yaml'], { cwd: scratch, encoding: 'utf8' })
        const faults = faultsOf(YAML.parse(text))
        written++
        if (ended(run) < 2) check(`${field} with '${numeral} ${unit}'`, faults)
        else if (FORM.test(run.stderr) && !/not a whole number/.test(run.stderr))
          check(`${field} with '${numeral} ${unit}'`, faults ? null : `passes; skimcut says: ${run.stderr}`)
      }
    }
  }
}
// Bare numbers at the limits of a length, a feed, a cutting speed, a count and an angle, in both units.
for (const [units, field, taken, refused] of [
  ['mm', 'finished_height: @', [0.1, 1000], [0.099, 1001, -1, 0]],
  ['inch', 'finished_height: @', [0.00394, 39.37007], [0.0039, 39.38, -1]],
  ['mm', 'machine: {kind: cnc, feed: {max: @}}', [1, 100000], [0.9, 100001]],
  ['inch', 'machine: {kind: cnc, feed: {max: @}}', [0.04, 3937], [0.039, 3938]],
  ['mm', 'cut: {cutting_speed: @}', [1, 5000], [0.9, 5001]],
  ['inch', 'cut: {cutting_speed: @}', [3.281, 16404], [3.27, 16405]],
  ['mm', 'program: {number: @}', [1, 99999999], [0, 100000000, 1.5]],
  ['inch', 'cutter: {kind: shell mill, diameter: 2, teeth: 5, edge: carbide, entering_angle: @}', [10, 95], [9.9, 96]],
  ['mm', 'parallels: [@]', [1, 500], [0.5, 501]],
  ['mm', 'cut: {stepover: @}', [], [50]],
  ['mm', 'vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100, offset: @}', [-1000, 0, 1000], [-1001, 1001]],
  ['mm', 'hold: {clamps: [{x: @, y: 1, length: 1, width: 1, height: 1}]}', [-2000, 2000], [-2001, 2001]],
]) {
  const base = YAML.parse(JOB)
  base.units = units
  if (units === 'inch') base.stock = { length: 5, width: 2, height: 1 }
  if (units === 'inch') base.cutter.diameter = 2
  for (const value of taken) check(`${units}, ${field}, ${value}`, faultsOf({ ...base, ...YAML.parse(field.replace('@', value)) }))
  for (const value of refused)
    check(`${units}, ${field}, ${value}`, faultsOf({ ...base, ...YAML.parse(field.replace('@', value)) }) ? null : 'passes')
}

// --- samples with one key damaged, each in every way that applies, with skimcut as the witness that it is damage ---

const walk = function* (node, path = []) {
  for (const [key, value] of Object.entries(node)) {
    if (!Array.isArray(node)) yield [...path, key]
    if (value !== null && typeof value === 'object') yield* walk(value, [...path, key])
  }
}
const damaged = (sample, path, change) => {
  const copy = structuredClone(sample)
  const inner = path.slice(0, -1).reduce((node, key) => node[key], copy)
  return change(inner, path.at(-1)) === false ? null : copy
}
const isNumeral = (value) => typeof value === 'number' || (typeof value === 'string' && /^[-+.\d]/.test(value))
const isFree = (path) => path.at(-2) === 'cutters' || ['title', 'shop', 'post'].includes(path.at(-1)) || (path.at(-1) === 'cutter' && path.length === 1)
const put = (value) => (node, key) => { node[key] = value }
const DAMAGE = {
  'a key renamed': (node, key) => {
    node[`${key}_`] = node[key]
    delete node[key]
  },
  'a list in a list': put([[1]]),
  'no value': put(null),
  'a mapping of nothing known': put({ nothing: 1 }),
  'a number in words': (node, key) => isNumeral(node[key]) && put('twelve')(node, key),
  'a unit of mass': (node, key) => isNumeral(node[key]) && put('5 kg')(node, key),
  'an unknown word': (node, key) => typeof node[key] === 'string' && !isNumeral(node[key]) && put('mumble')(node, key),
  'a word in its place': (node, key) => typeof node[key] === 'object' && put('mumble')(node, key),
  'far too much': (node, key) => typeof node[key] === 'number' && put(1e9)(node, key),
  'a key left out': (node, key) => { delete node[key] },
}
let damages = 0
for (const name of samples) {
  const sample = YAML.parse(readFileSync(join('samples', name), 'utf8'))
  for (const path of walk(sample)) {
    for (const [what, change] of Object.entries(DAMAGE)) {
      const copy = damaged(sample, path, change)
      if (copy === null) continue
      const faults = faultsOf(copy)
      const label = `${name}, ${path.join('.')}: ${what}`
      const status = statusOf(YAML.stringify(copy))
      damages++
      if (status < 2) check(`${label}, which skimcut takes`, faults)
      else if (what === 'a key left out' ? !('shop' in sample) && !name.startsWith('shop-') && !['cutter', 'teeth'].includes(path.at(-1)) : !(isFree(path) || (what === 'no value' && path.at(-1) === 'name')))
        check(label, faults ? null : 'passes')
    }
  }
}

console.log(`${samples.length} samples, ${understood} jobs refused only for what they ask, ${caught} bad ones, ${embedded} of unit tests, ${written} numbers, ${damages} damages`)
console.log(`${passed} passed, ${failed} failed`)
process.exitCode = failed === 0 && passed > 0 ? 0 : 1
