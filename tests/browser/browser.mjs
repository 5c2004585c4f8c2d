// browser.mjs BINARY FOLDER CHROMIUM: sheets as a person gets to see them, and as a person who does not see hears them.
import { execFileSync } from 'node:child_process'
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { basename, join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { HOSTILE, JOBS } from './jobs.mjs'

const [binary, folder, browserPath] = process.argv.slice(2)
const require = createRequire(resolve(folder, 'package.json'))
const { chromium } = require('playwright-core')
const { HtmlValidate } = require('html-validate')
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8')
const PAGES = JSON.parse(readFileSync(new URL('pages.json', import.meta.url), 'utf8'))

const PHONE = { width: 390, height: 844 }
const DESK = { width: 1280, height: 900 }
const MM = 96 / 25.4
const MARGIN_MM = 12
const PAPERS = { A4: [210, 297], Letter: [215.9, 279.4] }
const PAGES_MOST = 8
// A press of a key takes some milliseconds and a picture half a second, and many sheets are alike.
const KEYED = new Set(['bench-plate', 'die-block', 'hinge-plate', 'coupon', 'byhand', 'onecut'])
const PICTURED = new Set(['bench-plate', 'die-block', 'hinge-plate', 'coupon', 'plate', 'byhand', 'staircase', 'hostile'])

let passed = 0
let failed = 0

const check = (name, fault) => {
  if (fault === null || fault === undefined) {
    passed++
    return
  }
  failed++
  console.log(`${name}: ${fault}`)
}

const none = (list) => (list.length === 0 ? null : list.slice(0, 3).join('; ') + (list.length > 3 ? `; ${list.length - 3} more` : ''))

// A tool that may not be there: null. What it refuses is its output.
const tool = (name, args, input) => {
  try {
    return execFileSync(name, args, { input, encoding: 'utf8', stdio: ['pipe', 'pipe', 'pipe'], maxBuffer: 1 << 26 })
  } catch (error) {
    if (error.code === 'ENOENT' && name === 'fc-match') return null
    throw new Error(`${name}: ${(error.stderr || error.message).trim()}`)
  }
}

// How many pages a sheet takes hangs on the width of its letters.
const usualFont = tool('fc-match', ['-f', '%{family}', 'sans-serif'])?.includes('DejaVu Sans') ?? false

// --- the sheets ---

const sheetOf = (name, job) => {
  const html = join(folder, `${name}.html`)
  execFileSync(binary, ['sheet', job, '-o', html], { stdio: ['ignore', 'pipe', 'inherit'] })
  return { name, html: resolve(html) }
}

const sheets = () => {
  const samples = readdirSync('samples')
    .filter((file) => file.endsWith('.yaml') && !file.startsWith('shop-'))
    .map((file) => sheetOf(basename(file, '.yaml'), join('samples', file)))
  mkdirSync(join(folder, 'jobs'), { recursive: true })
  const made = Object.entries(JOBS).map(([name, yaml]) => {
    // The name of a file, too, is somebody else's text.
    const file = join(folder, 'jobs', name === 'hostile' ? `<b>"&'.yaml` : `${name}.yaml`)
    writeFileSync(file, yaml)
    return sheetOf(name, file)
  })
  return [...samples, ...made]
}

// --- as text ---

const validator = new HtmlValidate({
  extends: ['html-validate:standard', 'html-validate:a11y'],
  // A title is as long as the job's.
  rules: { 'long-title': 'off' },
})

const validFault = async (text) => {
  const report = await validator.validateString(text)
  const found = report.results.flatMap((result) => result.messages.map((m) => `${m.line}:${m.column} ${m.ruleId} ${m.message}`))
  return none(found)
}

const drawingFaults = (text) =>
  [...text.matchAll(/<svg[\s\S]*?<\/svg>/g)].flatMap(([drawing]) => {
    const alone = drawing.includes('xmlns=') ? drawing : drawing.replace('<svg', '<svg xmlns="http://www.w3.org/2000/svg"')
    try {
      tool('xmllint', ['--noout', '--nonet', '-'], alone)
      return []
    } catch (error) {
      return [error.message]
    }
  })

// --- in the page ---

// Functions below run in the page; they get and give plain values.

const overflowing = ({ width }) => {
  const found = []
  for (const element of document.querySelectorAll('body *')) {
    const box = element.getBoundingClientRect()
    if (box.width > 0 && !element.closest('svg svg, svg *') && (box.right > width + 0.5 || box.left < -0.5))
      found.push(`${element.tagName.toLowerCase()}.${element.className} from ${box.left.toFixed(1)} to ${box.right.toFixed(1)} of ${width.toFixed(1)}`)
  }
  return found
}

// Text that its own box, or a cell's, does not hold.
const spilling = () =>
  [...document.querySelectorAll('td, th, dd, dt, li, p, h1, h2, h3, figcaption, caption, label')]
    .filter((element) => element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0 && getComputedStyle(element).display !== 'inline')
    .map((element) => `${element.tagName.toLowerCase()} '${element.textContent.slice(0, 30)}'`)

const colours = () => {
  const found = []
  const channels = (colour) => {
    const numbers = (colour.match(/[\d.]+/g) ?? []).map(Number)
    return colour.startsWith('rgb') ? { rgb: numbers.slice(0, 3), alpha: numbers.length > 3 ? numbers[3] : 1 } : null
  }
  const linear = (c) => (c / 255 <= 0.03928 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4)
  const luminance = ([r]) => linear(r)
  const behind = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const colour = channels(getComputedStyle(at).backgroundColor)
      if (colour && colour.alpha > 0) return colour.rgb
    }
    return [255, 255, 255]
  }
  const KEYS = ['color', 'backgroundColor', 'borderTopColor', 'borderRightColor', 'borderBottomColor', 'borderLeftColor', 'outlineColor', 'fill', 'stroke']
  for (const element of document.querySelectorAll('html, body, body *')) {
    const style = getComputedStyle(element)
    for (const key of KEYS) {
      const colour = channels(style[key])
      if (colour && colour.alpha > 0 && new Set(colour.rgb).size > 1) found.push(`${element.tagName} ${key} ${style[key]}`)
    }
    const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())
    if (!own || element.matches('title, desc')) continue
    const ink = channels(element.closest('svg') ? style.fill : style.color)
    const contrast = (luminance(behind(element)) + 0.05) / (luminance(ink?.rgb ?? [255]) + 0.05)
    if (!(contrast >= 7)) found.push(`${element.tagName} '${element.textContent.trim().slice(0, 20)}' has a contrast of ${contrast.toFixed(1)}`)
    if (ink && ink.alpha < 1) found.push(`${element.tagName} is seen through`)
  }
  return found
}

// All words but the titles of drawings, and how many of them the page does not show.
const wordsOf = () => {
  const words = []
  let hidden = 0
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const found = node.parentElement.closest('title, desc') ? [] : node.textContent.split(/\s+/).filter(Boolean)
    if (!node.parentElement.checkVisibility({ opacityProperty: true, visibilityProperty: true })) hidden += found.length
    words.push(...found)
  }
  return { words, hidden }
}

const structure = () => {
  const found = []
  const levels = [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].map((heading) => Number(heading.tagName[1]))
  if (levels[0] !== 1 || levels.filter((level) => level === 1).length !== 1) found.push('not one h1, first')
  levels.forEach((level, index) => index > 0 && level > levels[index - 1] + 1 && found.push(`h${level} under h${levels[index - 1]}`))
  for (const table of document.querySelectorAll('table')) {
    if (!table.caption?.innerText.trim()) found.push('a table without a caption')
    for (const head of table.querySelectorAll('th')) if (!head.scope || !head.textContent.trim()) found.push(`th '${head.textContent}' without scope or text`)
  }
  const figures = [...document.querySelectorAll('figure')]
  if (figures.length !== 3) found.push(`${figures.length} figures`)
  for (const figure of figures) if (!figure.querySelector('figcaption')?.innerText.trim() || !figure.querySelector('svg')) found.push('a figure without a caption or a drawing')
  for (const drawing of document.querySelectorAll('svg')) if (!drawing.querySelector('title')?.textContent.trim()) found.push('a drawing without a title')
  for (const element of document.querySelectorAll('script, link, iframe, object, embed, img, form, [onclick], [onload], [onerror], [style*="url("]'))
    found.push(`there is a ${element.tagName}`)
  if (document.documentElement.lang !== 'en') found.push('no language')
  if (!document.title.trim()) found.push('no title')
  return found
}

const boxNames = () => [...document.querySelectorAll('input[type=checkbox]')].map((box) => box.getAttribute('aria-label'))

// Every cut has a box for every pass, or boxes of equal groups.
const boxFault = () => {
  const passes = new Map()
  for (const box of document.querySelectorAll('input[type=checkbox]')) {
    const [, cut, first, last] = /^cut (\d+), pass(?:es)? (\d+)(?: to (\d+))?$/.exec(box.ariaLabel) ?? []
    if (!cut) {
      if (!/^cuts? \d+( to \d+)?$/.test(box.ariaLabel)) return `'${box.ariaLabel}'`
      continue
    }
    const row = passes.get(cut) ?? []
    if (Number(first) !== (row.at(-1)?.[1] ?? 0) + 1) return `${box.ariaLabel} follows pass ${row.at(-1)?.[1]}`
    row.push([Number(first), Number(last ?? first)])
    passes.set(cut, row)
  }
  const rows = [...passes.values()]
  if (rows.length === 0) return 'no boxes'
  if (rows.some((row) => row.length > 20)) return 'more than 20 boxes'
  if (new Set(rows.map((row) => row.at(-1)[1])).size > 1) return 'cuts of different numbers of passes'
  return null
}

// --- the person's way with it ---

const tabFault = async (page) => {
  const wanted = await page.evaluate(boxNames)
  const reached = []
  await page.evaluate(() => document.activeElement?.blur())
  for (let presses = 0; presses < wanted.length + 10; presses++) {
    await page.keyboard.press('Tab')
    const at = await page.evaluate(() => {
      const element = document.activeElement
      return element?.type === 'checkbox' ? [element.ariaLabel, getComputedStyle(element).outlineStyle] : element === document.body ? [null] : ['']
    })
    // Past the last, the browser's own buttons come, or the first again.
    if (at[0] === null || (at[0] && at[0] === reached[0])) break
    if (at[0] && at[1] === 'none') return `${at[0]} does not show that it is reached`
    if (at[0]) reached.push(at[0])
  }
  if (reached.join('\n') !== wanted.join('\n')) return `Tab reaches ${reached.length} of ${wanted.length} boxes`
  await page.locator('input[type=checkbox]').first().focus()
  await page.keyboard.press('Space')
  return (await page.locator('input[type=checkbox]').first().isChecked()) ? null : 'the space bar ticks nothing'
}

// For a person to look at.
const picture = async (page, sheet, device) => {
  if (PICTURED.has(sheet.name)) await page.screenshot({ path: join(folder, `${sheet.name}-${device}.png`), fullPage: true })
}

const printed = async (page, sheet, paper) => {
  const file = join(folder, `${sheet.name}-${paper}.pdf`)
  await page.pdf({ path: file, format: paper })
  return file
}

// Ligatures and the ends of lines are the extractor's; letters that no font of this machine has are not looked for.
const missingWords = (words, text) => {
  const squeeze = (string) => string.normalize('NFKC').replace(/\s+/g, '')
  const whole = squeeze(text)
  return [...new Set(words)].filter((word) => /^[\u0000-\u20cf]*$/.test(word) && !whole.includes(squeeze(word)))
}

const pagesOf = (pdf) => (readFileSync(pdf, 'latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length

const onPaper = async (page, sheet, paper) => {
  const name = `${sheet.name} on ${paper}`
  const [width, height] = PAPERS[paper].map((mm) => (mm - 2 * MARGIN_MM) * MM)
  await page.setViewportSize({ width: Math.floor(width), height: Math.floor(height) })
  await page.emulateMedia({ media: 'print' })
  check(`${name}, width`, none(await page.evaluate(overflowing, { width })))
  check(`${name}, cells`, none(await page.evaluate(spilling)))
  const tall = await page.evaluate((most) => [...document.querySelectorAll('figure, tr')].filter((e) => e.getBoundingClientRect().height > most).length, height - 3 * MM)
  check(`${name}, height`, tall === 0 ? null : `${tall} rows or figures are higher than a page`)
  const scaled = await page.evaluate(
    (mm) =>
      [...document.querySelectorAll('svg')]
        .filter((svg) => svg.getAttribute('width')?.endsWith('mm') && Math.abs(svg.getBoundingClientRect().width - parseFloat(svg.getAttribute('width')) * mm) > 0.5)
        .map((svg) => `${svg.id} is ${(svg.getBoundingClientRect().width / mm).toFixed(1)} mm wide, not ${svg.getAttribute('width')}`),
    MM,
  )
  check(`${name}, scale`, none(scaled))
  const { words, hidden } = await page.evaluate(wordsOf)
  check(`${name}, hidden`, hidden === 0 ? null : `${hidden} words are not shown`)
  const file = await printed(page, sheet, paper)
  const count = pagesOf(file)
  const wanted = PAGES[sheet.name]?.[paper]
  if (wanted !== undefined && usualFont) check(`${name}, pages`, count === wanted ? null : `${count} pages, not ${wanted}`)
  else check(`${name}, pages`, count >= 1 && count <= PAGES_MOST ? null : `${count} pages`)
  sheet.pages = { ...sheet.pages, [paper]: count }
  const text = tool('pdftotext', ['-raw', file, '-'])
  if (text !== null) check(`${name}, words`, none(missingWords(words, text)))
  if (paper === 'A4') await picture(page, sheet, 'print')
  await page.emulateMedia({ media: 'screen' })
}

const onScreen = async (page, sheet) => {
  for (const [device, size] of Object.entries({ phone: PHONE, desk: DESK })) {
    await page.setViewportSize(size)
    const wide = await page.evaluate(() => document.documentElement.scrollWidth)
    check(`${sheet.name} at a ${device}, width`, wide <= size.width ? null : `${wide} wide`)
    await picture(page, sheet, device)
  }
  check(`${sheet.name}, colours`, none(await page.evaluate(colours)))
  check(`${sheet.name}, structure`, none(await page.evaluate(structure)))
  check(`${sheet.name}, boxes`, await page.evaluate(boxFault))
}

const axeFault = async (page) => {
  const found = await page.evaluate(async () => (await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag2aaa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })).violations)
  return none(found.map((violation) => `${violation.id} at ${violation.nodes[0].html.slice(0, 80)}`))
}

// What a page says and asks for, of the sheet it shows; a person's dark screen changes nothing.
const lookingPage = async (browser) => {
  const page = await (await browser.newContext({ colorScheme: 'dark' })).newPage()
  const heard = { said: [], asked: [] }
  page.on('console', (message) => heard.said.push(message.text()))
  page.on('pageerror', (error) => heard.said.push(error.message))
  page.on('dialog', (dialog) => (heard.said.push(`dialog ${dialog.message()}`), dialog.dismiss()))
  page.on('request', (request) => heard.asked.push(request.url()))
  return { page, heard }
}

const look = async ({ page, heard }, sheet) => {
  const address = pathToFileURL(sheet.html).href
  heard.said.length = heard.asked.length = 0
  await page.goto(address)
  await onScreen(page, sheet)
  for (const paper of Object.keys(PAPERS)) await onPaper(page, sheet, paper)
  check(`${sheet.name}, requests`, none(heard.asked.filter((asked) => asked !== address)))
  check(`${sheet.name}, console`, none(heard.said))
}

// The page's own policy lets nothing run, so what the test itself brings in needs a page without it.
const listeningPage = async (browser) => (await browser.newContext({ bypassCSP: true, viewport: PHONE })).newPage()

const listen = async (page, sheet) => {
  await page.goto(pathToFileURL(sheet.html).href)
  await page.evaluate(axe)
  check(`${sheet.name}, axe`, await axeFault(page))
  if (KEYED.has(sheet.name)) check(`${sheet.name}, keys`, await tabFault(page))
}

const hostileFault = async (browser, sheet) => {
  const page = await browser.newPage()
  await page.goto(pathToFileURL(sheet.html).href)
  const shown = await page.evaluate(() => [document.title, document.querySelector('h1').textContent, getComputedStyle(document.body).backgroundImage])
  await page.close()
  if (shown[0] !== HOSTILE || shown[1] !== HOSTILE) return `the title is ${shown[0]}`
  return shown[2] === 'none' ? null : shown[2]
}

// In the form of the file beside this one; jobs that are not samples stand in a folder of any name, which is on their sheets.
const pagesText = (looked) => {
  const lines = looked.filter((sheet) => !(sheet.name in JOBS)).map(({ name, pages }) => `  "${name}": { "A4": ${pages.A4}, "Letter": ${pages.Letter} }`)
  return `{\n${lines.join(',\n')}\n}\n`
}

const all = sheets()
const browser = await chromium.launch({
  executablePath: browserPath,
  // Root cannot have one.
  chromiumSandbox: process.getuid() !== 0,
})
for (const sheet of all) {
  const text = readFileSync(sheet.html, 'utf8')
  check(`${sheet.name}, valid`, await validFault(text))
  check(`${sheet.name}, drawings`, none(drawingFaults(text)))
}
const waiting = [...all]
const worker = async () => {
  const looking = await lookingPage(browser)
  const listening = await listeningPage(browser)
  for (let sheet = waiting.shift(); sheet; sheet = waiting.shift()) {
    await look(looking, sheet)
    await listen(listening, sheet)
  }
}
await Promise.all([worker(), worker()])
check('hostile, as text', await hostileFault(browser, all.find((sheet) => sheet.name === 'hostile')))
await browser.close()
if (!usualFont) console.log('sans-serif is not DejaVu Sans here: pages were only held against the most there may be')
writeFileSync(join(folder, 'pages.json'), pagesText(all))

console.log(`${passed} passed, ${failed} failed`)
process.exit(failed === 0 ? 0 : 1)
