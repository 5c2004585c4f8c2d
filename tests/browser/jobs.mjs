// Jobs that are hard on a sheet: very small, very large, long, and with texts that would like to be more than text.

const job = (lines) => lines.join('\n') + '\n'

// As a double-quoted YAML text.
const quoted = (text) => JSON.stringify(text)

export const HOSTILE = [
  '</title></style><script>alert(1)</script>',
  '"\'><img src=x onerror=alert(2)>',
  '&amp;&#60;svg onload=alert(3)&#62;',
  '\\"}body{background:url(http://example.org/)}',
  'caf\u00e9 \u20ac \ud83d\udd27 \u5de5\u4f5c',
].join(' ')

export const JOBS = {
  coupon: job([
    'units: mm',
    'title: coupon of 20 mm',
    'material: brass',
    'stock: {length: 20, width: 20, height: 6.2}',
    'finished_height: 6',
    'cutter: {kind: end mill, diameter: 16, teeth: 2, edge: hss, nose_radius: 0.2, flute_length: 30}',
    'cut: {skim: 0.1, test_cut: 0, rough: 0.2}',
  ]),
  // Two metres, some 500 passes of 4 mm: three boxes would not do.
  plate: job([
    'units: mm',
    'title: plate of two metres',
    'material: aluminium',
    'stock: {length: 1200, width: 2000, height: 21}',
    'finished_height: 20',
    'cutter: {kind: end mill, diameter: 6, teeth: 2, edge: carbide, nose_radius: 0.2, flute_length: 20}',
    'cut: {stepover: 67 %, along: x, pattern: zigzag, milling: either}',
  ]),
  // Some thousand cuts, each of many passes.
  staircase: job([
    'units: mm',
    'title: a thousand cuts',
    'material: tool steel',
    'stock: {length: 90, width: 60, height: 70.1}',
    'finished_height: 20',
    'cutter: {kind: end mill, diameter: 4, teeth: 2, edge: carbide, nose_radius: 0.1, flute_length: 8}',
    'cut: {rough: 0.05, skim: 0.02, test_cut: 0.05, measure: [test, skim]}',
  ]),
  // Worked by hand, in a vise and with clamps, every dial told, many passes.
  byhand: job([
    'units: inch',
    'title: long plate worked by hand',
    'material: low-carbon steel',
    'stock: {length: 14, width: 10, height: 1.320}',
    'finished_height: 1.250',
    'cutter: {kind: end mill, diameter: 3/4 in, teeth: 4, edge: hss, nose_radius: 1/64 in, flute_length: 1.5}',
    'cut: {test_cut: 20 thou, rough: 20 thou, along: x}',
    'machine:',
    '  kind: manual',
    '  spindle: {speeds: [80, 135, 210, 325, 660, 1115], power: 2 hp}',
    '  tram: {error: 0.002, over: 8}',
    '  dials: {x: {per_turn: 0.200, graduation: 0.001}, y: {per_turn: 0.200, graduation: 0.001}, knee: {per_turn: 0.100, graduation: 0.001}}',
    'hold:',
    '  clamps: [{x: -4, y: 3, length: 3, width: 1, height: 1, force: 1200 lbf}, {x: 15, y: 3, length: 3, width: 1, height: 1, force: 1200 lbf}]',
    'finish: {roughness: 63 uin, flatness: 2 thou}',
  ]),
  hostile: job([
    'units: mm',
    `title: ${quoted(HOSTILE)}`,
    `material: {name: ${quoted('<b>steel</b>" onclick="x')}, group: P, cutting_speed: 100 m/min, feed_per_tooth: 0.1 mm, coolant: flood}`,
    'stock: {length: 100, width: 60, height: 22}',
    'finished_height: 20',
    `cutters: {${quoted('<i>mill</i> & "co" \'s')}: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, nose_radius: 0.8}}`,
    'zero: {x: right, y: back, z: bottom}',
  ]),
  longword: job([
    'units: mm',
    `title: ${'block'.repeat(60)}`,
    'material: aluminium',
    'stock: {length: 100, width: 60, height: 22}',
    'finished_height: 20',
    'cutter: {kind: face mill, diameter: 80, teeth: 6, edge: carbide}',
  ]),
  onecut: job([
    'units: inch',
    'title: ""',
    'material: grey iron',
    'stock: {length: 4, width: 2, height: 1.005}',
    'finished_height: 1',
    'cutter: {kind: shell mill, diameter: 2-1/2 in, teeth: 5, edge: carbide}',
    'cut: {skim: 10 thou}',
  ]),
}
