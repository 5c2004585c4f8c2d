// words.mjs BINARY FOLDER: programs against plans, through the words that FOLDER's gcode-parser finds in the programs.
//
// The parser splits words and judges nothing: it skips what it does not know. So every line must come together again from its
// words, and only then are the words held against the plan (as data, which data.sh holds to the page that a person reads) and against what the proof adds up.
import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { resolve } from 'node:path'

const [binary, folder] = process.argv.slice(2)
const { parseLine } = createRequire(resolve(folder, 'package.json'))('gcode-parser')

let passed = 0
let failed = 0

const check = (name, fault) => {
  if (fault === null) {
    passed++
    return
  }
  failed++
  console.log(`${name}: ${fault}`)
}

// --- the program ---

const NUMBER = /([A-Z])([-+]?(?:\d+\.?\d*|\.\d+))/g

// A line as its words say it: blanks gone, numbers without idle zeros.
const canonical = (line) => {
  const comments = [...line.matchAll(/\(([^()]*)\)/g)].map((found) => found[1].trim())
  const code = line.replace(/\([^()]*\)/g, '').replace(/\s/g, '')
  return [code.replace(NUMBER, (_, letter, number) => letter + Number(number)), ...comments].join('|')
}

const rejoined = (parsed) => {
  const number = parsed.ln === undefined ? '' : `N${parsed.ln}`
  const words = parsed.words.map(([letter, value]) => letter + value).join('')
  return [(parsed.cmds ?? []).join('') + number + words, ...(parsed.comments ?? [])].join('|')
}

const lineFault = (line) => {
  const parsed = parseLine(line)
  const letters = parsed.words.map(([letter]) => letter).filter((letter) => letter !== 'G' && letter !== 'M')
  if (rejoined(parsed) !== canonical(line)) return `its words make ${rejoined(parsed)}`
  if (parsed.words.some(([, value]) => typeof value !== 'number')) return 'a word without a number'
  if (new Set(letters).size < letters.length) return 'a word that stands twice'
  return null
}

const textFault = (text) => {
  for (const [index, line] of text.split(/\r?\n/).entries()) {
    const fault = lineFault(line)
    if (fault) return `line ${index + 1}, ${line}: ${fault}`
  }
  return null
}

// Numbers of the fixed format have no point: they count thousandths of a millimetre or ten-thousandths of an inch, and feeds
// whole millimetres or tenths of an inch.
const motions = (text, inch) => {
  const lines = text.split(/\r?\n/)
  const fixed = !lines.some((line) => /[XYZ]-?\d*\./.test(line.replace(/\(.*?\)/g, '')))
  const scale = { length: fixed ? (inch ? 10000 : 1000) : 1, feed: fixed && inch ? 10 : 1 }
  const state = { G: null, F: null, S: null, turning: false }
  const found = []

  for (const line of lines) {
    const coordinates = {}
    for (const [letter, value] of parseLine(line).words) {
      if (letter === 'G' && value <= 3) state.G = value
      if (letter === 'F') state.F = value / scale.feed
      if (letter === 'S') state.S = value
      if (letter === 'M' && value >= 3 && value <= 5) state.turning = value !== 5
      if ('XYZ'.includes(letter)) coordinates[letter] = value / scale.length
    }
    if (Object.keys(coordinates).length > 0) found.push({ rapid: state.G === 0, coordinates, ...state })
  }
  return found
}

// --- the plan ---

const planRead = (text) => {
  const plan = JSON.parse(text)
  const along = plan.layout.along.toUpperCase()
  const across = along === 'X' ? 'Y' : 'X'
  const rates = (cut) => (cut.kind === 'skim' ? plan.skim : plan.rough)

  if (plan.cuts.length === 0 || plan.passes.length === 0) throw new Error('the plan has no cuts or no passes')
  return {
    inch: plan.units.job === 'inch',
    cuts: plan.cuts.map((cut) => ({
      z: cut.z.job,
      speed: rates(cut).rpm,
      feed: rates(cut).feed.job,
      stops: cut.stop_after,
    })),
    passes: plan.passes.map((pass) => ({
      along,
      across,
      way: pass.travel.toUpperCase(),
      at: pass.from[across.toLowerCase()].job,
      from: pass.from[along.toLowerCase()].job,
      to: pass.to[along.toLowerCase()].job,
    })),
    safe: plan.heights.safe_z.job,
    retract: plan.heights.retract_z.job,
    clearance: plan.heights.safe_z.job - plan.zero.touch_z.job,
    rapidRate: plan.time.rapid.job,
  }
}

// Every motion of the plan, in order, with the coordinates that have to be told: those that change, and all of them where
// nobody knows where the cutter stands. A zigzag shows in its passes: each travels against the one before.
const planned = ({ cuts, passes, safe, retract, clearance }) => {
  const zigzag = passes.length > 1 && passes[0].way !== passes[1].way
  const list = []
  let at = {}
  const go = (rapid, cut, to) => {
    const told = Object.fromEntries(Object.entries(to).filter(([axis, value]) => at[axis] !== value))
    at = { ...at, ...to }
    if (Object.keys(told).length > 0) list.push({ rapid, coordinates: told, F: cut.feed, S: cut.speed })
  }

  for (const [index, cut] of cuts.entries()) {
    const last = index + 1 === cuts.length
    if (at.Z === undefined) go(true, cut, { Z: retract })
    for (const [number, pass] of passes.entries()) {
      const start = { [pass.along]: pass.from, [pass.across]: pass.at }
      if (number > 0 && zigzag) {
        go(false, cut, start)
      } else {
        if (number > 0) go(true, cut, { Z: safe })
        go(true, cut, start)
        go(true, cut, { Z: cut.z + clearance })
        go(false, cut, { Z: cut.z })
      }
      go(false, cut, { [pass.along]: pass.to })
    }
    go(true, cut, { Z: last || cut.stops ? retract : safe })
    if (cut.stops) at = {}
  }
  return list
}

const show = (motion, digits) =>
  (motion.rapid ? 'rapid ' : 'feed ') +
  Object.entries(motion.coordinates)
    .sort()
    .map(([axis, value]) => axis + (Object.is(Number(value.toFixed(digits)), -0) ? 0 : value).toFixed(digits))
    .join(' ')

const pathFault = (plan, text) => {
  const digits = plan.inch ? 4 : 3
  const wanted = planned(plan)
  const found = motions(text, plan.inch)
  for (let i = 0; i < Math.max(wanted.length, found.length); i++) {
    if (!found[i]) return `motion ${i + 1}, ${show(wanted[i], digits)}, is missing`
    if (!wanted[i]) return `motion ${i + 1}, ${show(found[i], digits)}, is not planned`
    if (show(found[i], digits) !== show(wanted[i], digits))
      return `motion ${i + 1} is ${show(found[i], digits)}, planned ${show(wanted[i], digits)}`
  }
  return null
}

const ratesFault = (plan, text) => {
  const wanted = planned(plan)
  for (const [i, motion] of motions(text, plan.inch).entries()) {
    if (motion.rapid || !wanted[i]) continue
    if (motion.F !== wanted[i].F) return `motion ${i + 1} has feed ${motion.F}, planned ${wanted[i].F}`
    if (motion.S !== wanted[i].S || !motion.turning) return `motion ${i + 1} has speed ${motion.S}, planned ${wanted[i].S}`
  }
  return null
}

// The units of the plan are the only ones said, and no G code stands that facing has no use for: an arc, a cycle, another mode.
const PLAIN = [0, 1, 17, 40, 43, 49, 54, 55, 56, 57, 58, 59, 80, 90, 94]

const codesFault = (plan, text) => {
  const units = plan.inch ? [20, 70] : [21, 71]
  const codes = text.split(/\r?\n/).flatMap((line) => parseLine(line).words.filter(([letter]) => letter === 'G').map(([, code]) => code))
  if (!codes.some((code) => units.includes(code))) return 'the units of the plan are not said'
  const odd = codes.find((code) => !PLAIN.includes(code) && !units.includes(code))
  return odd === undefined ? null : `G${odd} has no business there`
}

// --- the proof ---

// Distance over rate, from the words alone; an axis whose place is not known yet adds nothing.
const totals = (text, inch, rapidRate) => {
  const at = {}
  const seconds = { feed: 0, rapid: 0 }

  for (const motion of motions(text, inch)) {
    const steps = Object.entries(motion.coordinates).map(([axis, to]) => (axis in at ? to - at[axis] : 0))
    seconds[motion.rapid ? 'rapid' : 'feed'] += (60 * Math.hypot(...steps)) / (motion.rapid ? rapidRate : motion.F)
    Object.assign(at, motion.coordinates)
  }
  return seconds
}

const totalsFault = (planText, text, figures) => {
  const plan = planRead(planText)
  const reckoned = totals(text, plan.inch, plan.rapidRate)
  const feed = figures.cut_s + figures.air_s
  if (Math.abs(feed - reckoned.feed) > 1e-6 * reckoned.feed) return `${feed} s at feed, not ${reckoned.feed}`
  if (Math.abs(figures.rapid_s - reckoned.rapid) > 1e-4 * reckoned.rapid) // the plan rounds the rate
    return `${figures.rapid_s} s at rapid, not ${reckoned.rapid}`
  if (figures.bytes !== Buffer.byteLength(text)) return `${figures.bytes} bytes`
  return null
}

// --- what is checked ---

const programCheck = (name, planText, text) => {
  try {
    const plan = planRead(planText)
    check(name, textFault(text))
    check(name, pathFault(plan, text))
    check(name, ratesFault(plan, text))
    check(name, codesFault(plan, text))
  } catch (error) {
    check(name, error.message)
  }
}

const run = (...operands) => {
  try {
    return execFileSync(binary, operands, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] })
  } catch (error) {
    // A dialect may be unable to say what a job asks for.
    if (error.status === 1 && / has no way to say /.test(error.stderr)) return null
    throw new Error(`${operands.join(' ')}: ${error.stderr || error.message}`)
  }
}

for (const name of readdirSync('tests/reference')) {
  const base = `tests/reference/${name}`
  if (!existsSync(`${base}/program.nc`)) continue
  programCheck(base, readFileSync(`${base}/plan.json`, 'utf8'), readFileSync(`${base}/program.nc`, 'utf8'))
}

const posts = run('list', 'posts').split('\n').flatMap((line) => line.match(/^(\w+) /)?.[1] ?? [])
const samples = readdirSync('samples').filter((name) => name.endsWith('.yaml') && !name.startsWith('shop-'))
const proofs = []
for (const post of posts) {
  let written = 0
  for (const sample of samples) {
    try {
      const text = run('program', '-q', '-p', post, `samples/${sample}`)
      if (text === null) continue
      const planText = run('plan', '-q', '--as', 'json', '-p', post, `samples/${sample}`)
      programCheck(`${sample} in ${post}`, planText, text)
      const file = resolve(folder, 'program.nc')
      writeFileSync(file, text)
      const proof = JSON.parse(run('prove', '-q', '--as', 'json', '-p', post, `samples/${sample}`, file))
      check(`${sample} in ${post}, proof`, proof.proved ? totalsFault(planText, text, proof.figures) : 'is not proved')
      proofs.push({ planText, text, figures: proof.figures })
      written++
    } catch (error) {
      check(`${sample} in ${post}`, error.message)
    }
  }
  check(post, written > 0 ? null : 'no sample could be written')
}
check('posts', posts.length >= 4 ? null : `only ${posts}`)

// The checks can fail: damage to a good program is seen, each by the check that is named.
const goodPlan = planRead(readFileSync('tests/reference/sensor-base/plan.json', 'utf8'))
const good = readFileSync('tests/reference/sensor-base/program.nc', 'utf8')
const damages = [
  ['a nested comment', textFault, /^\(CUT 1/m, '((CUT 1'],
  ['a comma', textFault, /X283\.45/, 'X283,45'],
  ['two signs', textFault, /X-43\.45/, 'X--43.45'],
  ['a word twice', textFault, /X283\.45/, 'X283.45 X283.45'],
  ['a letter alone', textFault, / F930\.5/, ' F'],
  ['a micrometre', (text) => pathFault(goodPlan, text), /Y87\.334/, 'Y87.335'],
  ['a feed made rapid', (text) => pathFault(goodPlan, text), /G01/, 'G00'],
  ['a pass left out', (text) => pathFault(goodPlan, text), /^N\d+ X-43\.45\n/m, ''],
  ['a motion more', (text) => pathFault(goodPlan, text), /^N(\d+) M30/m, 'N$1 X0.0\nN$1 M30'],
  ['another feed', (text) => ratesFault(goodPlan, text), /F930\.5/, 'F930.4'],
  ['another speed', (text) => ratesFault(goodPlan, text), /S1193/, 'S1194'],
  ['other units', (text) => codesFault(goodPlan, text), /G71/, 'G70'],
  ['an arc', (text) => codesFault(goodPlan, text), /G01/, 'G02'],
  ['a spindle that stands', (text) => ratesFault(goodPlan, text), / M03/, ''],
]
const [first] = proofs
check(
  'damage, a slower feed',
  totalsFault(first.planText, first.text.replace(/F(\d)/, 'F1$1'), first.figures) !== null ? null : 'was not seen',
)
for (const [name, fault, from, to] of damages) {
  const damaged = good.replace(from, to)
  check(`damage, ${name}`, damaged !== good && fault(damaged) !== null ? null : 'was not seen')
}

console.log(`${passed} passed, ${failed} failed`)
process.exitCode = failed === 0 && passed > 0 ? 0 : 1
