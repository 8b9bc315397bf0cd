import * as fc from 'fast-check';
import { parse, unparse } from 'papaparse';
import { describe, expect, it } from 'vitest';
import { defaultLimits } from '../limits.js';
import type { FileTask, Reading } from '../reading.js';
import { readTextFile } from './readTextFile.js';

const taskOf = (text: string | Uint8Array, over: Partial<FileTask> = {}): FileTask => ({
  file: 'h+030.csv',
  bytes: typeof text === 'string' ? new TextEncoder().encode(text) : text,
  sha256: '00',
  kind: 'delimited-text',
  content: 'directivity',
  orbit: 'horizontal',
  angleDeg: 30,
  distanceStated: false,
  ...over,
});
const read = (text: string | Uint8Array, over: Partial<FileTask> = {}): Reading =>
  readTextFile(taskOf(text, over), defaultLimits);
const only = (reading: Reading) => {
  expect(reading.problems ?? []).toStrictEqual([]);
  expect(reading.angles).toHaveLength(1);
  return reading.angles![0];
};
const faults = (reading: Reading) => (reading.problems ?? []).map(({ code, line }) => [code, line]);

describe('the shape of the text', () => {
  const rows = fc
    .uniqueArray(fc.double({ min: 1, max: 30_000, noNaN: true }), { minLength: 2, maxLength: 30 })
    .chain((hz) => {
      const frequency = hz.toSorted((a, b) => a - b);
      const column = (min: number, max: number) =>
        fc.array(fc.double({ min, max, noNaN: true }), { minLength: hz.length, maxLength: hz.length });
      return fc.tuple(fc.constant(frequency), column(-40, 130), column(-180, 180));
    });
  const dialect = fc.record({
    separator: fc.constantFrom(',', ';', '\t', ' ', '   ', ', ', ' ; ', ' \t'),
    decimalComma: fc.boolean(),
    lineEnd: fc.constantFrom('\n', '\r\n', '\r'),
    mark: fc.constantFrom('', '\ufeff'),
    header: fc.constantFrom(
      '',
      'frequency_hz|magnitude_db|phase_deg',
      'Frequency [Hz]|SPL [dB]|Phase [deg]',
      '# f/Hz|level/dB|phase',
      'Hz|dB|deg',
    ),
    title: fc.constantFrom('', 'Invented unit, left cabinet', '* 2.83 V at 1 m\n\n# second line', 'sep=;'),
    comment: fc.constantFrom('', '# a remark between', '   '),
    trailing: fc.boolean(),
    quoted: fc.boolean(),
    digits: fc.integer({ min: 7, max: 16 }),
    encoding: fc.constantFrom('utf-8' as const, 'utf-16le' as const),
  });

  it('does not matter: any separator, decimal mark, line end, header, comment and coding gives the same numbers', () => {
    fc.assert(
      fc.property(rows, dialect, ([hz, level, phase], d) => {
        // Decimal commas between commas are only readable in quotes.
        const comma = d.decimalComma && (!d.separator.includes(',') || d.quoted);
        const write = (value: number) => {
          const text = Number(value.toPrecision(d.digits)).toString();
          // A whole number shows no mark; one that always has one keeps the example readable either way.
          const marked = /[.e]/.test(text) ? text : `${text}.0`;
          return comma ? marked.replace('.', ',') : marked;
        };
        const quote = (text: string) => (d.quoted ? `"${text}"` : text);
        const header = d.header
          .split('|')
          .map((cell) =>
            d.separator.trim() === '' && !d.separator.includes('\t') ? cell.replace(/ \[.*/, '') : cell,
          );
        const expected = [hz, level, phase].map((column) =>
          column.map((value) => Number(value.toPrecision(d.digits))),
        );
        const rising = expected[0].every((value, at) => at === 0 || value > expected[0][at - 1]);
        fc.pre(rising);
        const lines = [
          d.title,
          d.header === '' ? '' : header.join(d.separator),
          ...hz.map(
            (_, at) =>
              [hz, level, phase].map((column) => quote(write(column[at]))).join(d.separator) +
              (d.trailing ? d.separator.trimEnd() : ''),
          ),
          d.comment,
          '',
        ];
        const text = d.mark + lines.join('\n').replaceAll('\n', d.lineEnd);
        const utf16 = d.encoding === 'utf-16le';
        const bytes = utf16
          ? Buffer.from(`\ufeff${text.replace('\ufeff', '')}`, 'utf16le')
          : new TextEncoder().encode(text);
        const angle = only(read(bytes));
        expect([...angle.frequencyHz]).toStrictEqual(expected[0]);
        expect([...angle.levelDb]).toStrictEqual(expected[1]);
        expect([...angle.phaseDeg!]).toStrictEqual(expected[2]);
      }),
      { numRuns: 600 },
    );
  });

  it('agrees with an independent RFC 4180 reader on quoted tables with text columns', () => {
    const cell = fc.string({ maxLength: 8 }).filter((text) => !/[\r\n]/.test(text) && text.trim() === text);
    const table = fc.array(fc.tuple(fc.double({ min: -50, max: 120, noNaN: true }), cell, cell), {
      minLength: 2,
      maxLength: 12,
    });
    fc.assert(
      fc.property(table, (data) => {
        const csv = unparse(
          {
            fields: ['note', 'frequency_hz', 'remark', 'magnitude_db'],
            data: data.map(([db, a, b], at) => [at + 1, at + 20.5, `${a}|${b}`, db + 0.25]),
          },
          { quotes: true },
        );
        const parsed = parse<string[]>(csv).data.slice(1);
        const angle = only(read(csv));
        expect([...angle.levelDb]).toStrictEqual(parsed.map((row) => Number(row[3])));
      }),
      { numRuns: 200 },
    );
  });

  it('reads thousands of lines', () => {
    const rows = Array.from(
      { length: 20_000 },
      (_, at) => `${(20 + at * 0.5).toFixed(1)}\t${(80 + (at % 7)).toFixed(2)}`,
    );
    expect(only(read(rows.join('\n'))).levelDb[19_999]).toBeCloseTo(80 + (19_999 % 7), 10);
  });
});

describe('columns', () => {
  it.each([
    ['magnitude_db,frequency_hz,phase_deg\n85.5,20.5,1.5\n86.5,40.5,2.5', 'order by header'],
    [
      'Phase (deg);Coherence;SPL (dB);Freq (Hz)\n1.5;0.9;85.5;20.5\n2.5;0.8;86.5;40.5',
      'unknown columns between',
    ],
    ['* Freq(Hz) SPL(dB) Phase(degrees)\n20.5 85.5 1.5\n40.5 86.5 2.5', 'commented, blank-separated'],
    ['Frequency Hz  SPL dB  Phase deg\n20.5  85.5  1.5\n40.5  86.5  2.5', 'units apart'],
    ['Frequency,SPL,Phase\nHz,dB,deg\n20.5,85.5,1.5\n40.5,86.5,2.5', 'a row of units'],
    ['Frequency,SPL,Phase\nkHz,dB,deg\n0.0205,85.5,1.5\n0.0405,86.5,2.5', 'kHz'],
    ['frequencyHz\tlevelDb\tphaseDeg\n20.5\t85.5\t1.5\n40.5\t86.5\t2.5', 'camel case'],
    [
      '48000 65536\n2.83 1\nfrequency_hz,magnitude_db,phase_deg\n20.5,85.5,1.5\n40.5,86.5,2.5',
      'numbers in the preamble',
    ],
    ['20.5,85.5,1.5,0.99,ok\n40.5,86.5,2.5,0.98,ok', 'by position with trailing columns'],
    [
      'f / Hz;Sound pressure level in dB re 20 \u00b5Pa;phase / \u00b0\n20,5;85,5;1,5\n40,5;86,5;2,5',
      'prose in a header',
    ],
  ])('%# %s', (text, _why) => {
    const angle = only(read(text));
    expect([...angle.frequencyHz]).toStrictEqual([20.5, 40.5]);
    expect([...angle.levelDb]).toStrictEqual([85.5, 86.5]);
    expect([...angle.phaseDeg!]).toStrictEqual([1.5, 2.5]);
  });

  it('turns radians into degrees', () => {
    const { phaseDeg } = only(
      read('frequency_hz,magnitude_db,phase_rad\n20,85.5,3.141592653589793\n40,86.5,-1.5707963267948966'),
    );
    expect([...phaseDeg!]).toStrictEqual([180, -90]);
  });

  it('reads a table of many angles, whatever the file is called', () => {
    const angles = [-170, -90, 0, 10, 180];
    const header = ['frequency_hz', ...angles.map((a) => `h${a}`), ...angles.map((a) => `V ${a}`)].join(',');
    const row = (hz: number) =>
      [
        hz,
        ...angles.map((a) => 90 - Math.abs(a) / 10 + 0.5),
        ...angles.map((a) => 80 - Math.abs(a) / 10 + 0.5),
      ].join(',');
    const reading = read([header, row(20), row(200), row(2000)].join('\n'), {
      content: undefined,
      orbit: undefined,
      angleDeg: undefined,
      file: 'everything.csv',
    });
    expect(reading.problems).toBeUndefined();
    expect(reading.content).toBe('directivity');
    expect(reading.angles!.map(({ orbit, angleDeg }) => `${orbit[0]}${angleDeg}`)).toStrictEqual([
      ...angles.map((a) => `h${a}`),
      ...angles.map((a) => `v${a}`),
    ]);
    expect(reading.angles![0].levelDb[2]).toBe(73.5);
    expect(reading.angles![9].source).toStrictEqual({
      file: 'everything.csv',
      sha256: '00',
      column: 'V 180',
    });
  });

  it('refuses two columns for one angle', () => {
    expect(faults(read('frequency_hz,h-30,h330\n20,80.5,81.5\n40,80.5,81.5'))).toStrictEqual([
      ['columns-not-understood', 2],
    ]);
  });

  it('takes h2 for a harmonic in a distortion file and for two degrees in a directivity file', () => {
    const text = 'frequency_hz,h2,h3\n20,1.5,0.5\n40,1.25,0.25';
    const distortion = read(text, { content: 'distortion', levelDb: 86 }).distortion![0];
    expect([...distortion.harmonicsPercent[2]]).toStrictEqual([1.5, 1.25]);
    expect(read(text).angles!.map(({ angleDeg }) => angleDeg)).toStrictEqual([2, 3]);
  });

  it('names what it found when the columns are another quantity', () => {
    const reading = read('frequency_hz,impedance_ohm\n20,8.5\n40,7.5');
    expect(faults(reading)).toStrictEqual([['wrong-quantity', 2]]);
    expect(reading.problems![0].message).toContain('impedance');
    expect(faults(read('frequency_hz,magnitude_pa\n20,8.5\n40,7.5'))).toStrictEqual([
      ['columns-not-understood', 2],
    ]);
    expect(faults(read('frequency_hz,magnitude_db\n20,8.5\n40,7.5', { content: 'impedance' }))).toStrictEqual(
      [['wrong-quantity', 2]],
    );
  });

  it('refuses two columns that could both be the level, and takes the one the manifest names', () => {
    const text = 'Frequency;Left (dB);Right (dB)\n20,5;80,5;81,5\n40,5;82,5;83,5';
    expect(faults(read(text))).toStrictEqual([['columns-not-understood', 2]]);
    expect([
      ...only(read(text, { columns: { frequency_hz: 'Frequency', magnitude_db: 'right (dB)' } })).levelDb,
    ]).toStrictEqual([81.5, 83.5]);
    expect([...only(read(text, { columns: { frequency_hz: 1, magnitude_db: 2 } })).levelDb]).toStrictEqual([
      80.5, 82.5,
    ]);
    expect([...only(read(text, { columns: ['frequency_hz', null, 'magnitude_db'] })).levelDb]).toStrictEqual([
      81.5, 83.5,
    ]);
  });
});

describe('contents', () => {
  it('reads impedance as magnitude and phase or as real and imaginary part', () => {
    const polar = read('20.0 8.0 -45\n40.0 4.0 0', { content: 'impedance' }).impedance![0];
    expect([...polar.magnitudeOhm, ...polar.phaseDeg!]).toStrictEqual([8, 4, -45, 0]);
    const parts = read('frequency_hz,resistance_ohm,reactance_ohm\n20,3,-4\n40,5,0', { content: 'impedance' })
      .impedance![0];
    expect([...parts.magnitudeOhm]).toStrictEqual([5, 5]);
    expect(parts.phaseDeg![0]).toBeCloseTo(-53.130102, 6);
  });

  it('reads distortion in percent, and dB relative to the fundamental or beside it', () => {
    const percent = read('frequency_hz,thd_percent,h2_percent,h3_percent\n20,3.5,3,\n40,1.5,1,0.5', {
      content: 'distortion',
      levelDb: 86,
    });
    expect([...percent.distortion![0].thdPercent!]).toStrictEqual([3.5, 1.5]);
    expect([...percent.distortion![0].harmonicsPercent[3]]).toStrictEqual([0, 0.5]);
    expect(percent.quality!.map(({ code }) => code)).toStrictEqual(['harmonic-cells-empty']);
    const relative = read('frequency_hz,h2_db\n20,-40\n40,-20', { content: 'distortion', levelDb: 86 })
      .distortion![0];
    expect([...relative.harmonicsPercent[2]]).toStrictEqual([1, 10]);
    const beside = read('frequency_hz,magnitude_db,h2_db\n20,86,46\n40,86,66', {
      content: 'distortion',
      levelDb: 86,
    });
    expect([...beside.distortion![0].harmonicsPercent[2]]).toStrictEqual([1, 10]);
    expect(beside.quality!.map(({ code }) => code)).toStrictEqual(['harmonics-as-levels']);
  });

  it('does not guess at many unnamed columns of distortion', () => {
    expect(
      faults(read('20 1.5 1.2 0.4\n40 1.5 1.2 0.4', { content: 'distortion', levelDb: 86 })),
    ).toStrictEqual([['columns-not-understood', 1]]);
  });

  it('asks for a level that nothing states', () => {
    expect(faults(read('20 1.5\n40 1.5', { content: 'distortion' }))).toStrictEqual([
      ['level-missing', undefined],
    ]);
  });

  it('reads multitone, compression, in-room and calibration', () => {
    expect([
      ...read('20 1.5\n40 2.5', { content: 'multitone', levelDb: 86 }).multitone![0].distortionPercent,
    ]).toStrictEqual([1.5, 2.5]);
    expect([
      ...read('20 80.5\n40 81.5', { content: 'compression', levelDb: 96 }).compression![0].responseDb,
    ]).toStrictEqual([80.5, 81.5]);
    expect([...read('20 80.5\n40 81.5', { content: 'in-room' }).inRoom![0].levelDb]).toStrictEqual([
      80.5, 81.5,
    ]);
    const [calibration] = read('20 0.5\n40 -0.5', { content: 'calibration', microphone: 'A' }).calibrations!;
    expect(calibration).toStrictEqual({
      name: 'A',
      frequencyHz: Float64Array.of(20, 40),
      deviationDb: Float64Array.of(0.5, -0.5),
    });
  });

  it('leaves out a first row at 0 Hz and says so', () => {
    const reading = read('0,-inf,nan\n20,80.5,1.5\n40,81.5,2.5');
    expect([...only(reading).frequencyHz]).toStrictEqual([20, 40]);
    expect(reading.quality!.map(({ code }) => code)).toStrictEqual(['zero-frequency-row']);
  });
});

describe('faults are named with their line', () => {
  const head = 'frequency_hz,magnitude_db\n';
  it.each([
    ['20,80.5\n40,x\n60,80.5', 'not-a-number', 3],
    ['20,80.5\n40\n60,80.5', 'missing-cell', 3],
    ['20,80.5\n40,\n60,80.5', 'missing-cell', 3],
    ['20,80.5\n40,nan\n60,80.5', 'not-finite', 3],
    ['20,80.5\n40,-inf\n60,80.5', 'not-finite', 3],
    ['20,80.5\nnan,80.5\n60,80.5', 'not-finite', 3],
    ['nan,80.5\n40,80.5\n60,80.5', 'not-finite', 2],
    ['20,-inf\n40,80.5\n60,80.5', 'not-finite', 2],
    ['20,1e999\n40,80.5\n60,80.5', 'not-finite', 2],
    ['20,#NUM!\n40,80.5\n60,80.5', 'not-finite', 2],
    ['20,x\n40,80.5\n60,80.5', 'not-a-number', 2],
    ['20,80.5\n-40,80.5\n60,80.5', 'frequency-negative', 3],
    ['20,80.5\n40,80.5\n40,81.5', 'frequency-duplicate', 4],
    ['20,80.5\n60,80.5\n40,81.5', 'frequency-not-rising', 4],
    ['20,80.5\n40,80.5\nthe end', 'not-a-number', 4],
    ['20,80.5', 'too-few-rows', 2],
    ['20,80.5\n40,80.5 dB', 'not-a-number', 3],
    ['20,80.5\n1e3,"1,5"', 'mixed-decimal-marks', 3],
  ])('%j: %s in line %d', (rows, code, line) => {
    expect(faults(read(head + rows))).toStrictEqual([[code, line]]);
  });

  it('names the file, a remedy, and what was found', () => {
    expect(read(`${head}20,80.5\n40,eighty\n`).problems).toStrictEqual([
      {
        file: 'h+030.csv',
        line: 3,
        code: 'not-a-number',
        message: '"eighty" in "column magnitude_db" is not a number.',
        remedy: expect.stringContaining('1234,5') as string,
      },
    ]);
  });

  it('counts further faults instead of flooding', () => {
    const rows = Array.from({ length: 100 }, (_, at) => `${at + 20},bad`).join('\n');
    const found = read(`${head}10,80.5\n${rows}`).problems!;
    expect(found).toHaveLength(defaultLimits.problemsPerFile + 1);
    expect(found.at(-1)!.message).toBe('95 more lines are faulty.');
  });

  it('finds a second table in the file', () => {
    const rows = Array.from({ length: 40 }, (_, at) => `${at + 20},80.5`).join('\n');
    expect(faults(read(`${head}${rows}\n${head}${rows}`))).toStrictEqual([['second-table', 42]]);
  });

  it.each([
    ['100,85,3\n200,86,4\n300,85,5', 'integer and decimal comma'],
    ['100,5,85,3\n200,5,86,4', 'two decimal commas'],
    ['100,85,3\n200,86\n300,85,5', 'ragged'],
    ['frequency_hz,magnitude_db\n100,85,3\n200,86,4', 'more cells than names'],
  ])('refuses commas that could be either mark: %j', (text) => {
    expect(faults(read(text)).map(([code]) => code)).toContain('ambiguous-decimal-comma');
  });

  it('accepts whole numbers between commas when a header or a sign tells', () => {
    expect([
      ...only(read('frequency_hz,magnitude_db,phase_deg\n100,85,3\n200,86,4')).phaseDeg!,
    ]).toStrictEqual([3, 4]);
    expect([...only(read('100,85,-3\n200,86,4')).phaseDeg!]).toStrictEqual([-3, 4]);
    expect([...only(read('100,85\n200,86')).levelDb]).toStrictEqual([85, 86]);
  });

  it('refuses thousands marks', () => {
    expect(faults(read('999.5;85.5\n1,000.5;85.5'))).toStrictEqual([['not-a-number', 2]]);
    expect(faults(read('999,5;85,5\n1.000;85,5'))).toStrictEqual([['mixed-decimal-marks', 2]]);
  });

  it.each([
    ['', 'empty-file', undefined],
    ['\n\n \n', 'no-data-rows', 1],
    ['just words\nand more', 'no-data-rows', 1],
    ['20\n40\n', 'no-data-rows', 1],
    ['<html><body>404</body></html>', 'no-data-rows', 1],
  ])('%j: %s', (text, code, line) => {
    expect(faults(read(text))).toStrictEqual([[code, line]]);
  });

  it('refuses binary, and UTF-16 without its mark', () => {
    expect(faults(read(Uint8Array.of(0x89, 0x48, 0x44, 0x46, 0, 1, 2, 3)))).toStrictEqual([
      ['not-text', undefined],
    ]);
    expect(faults(read(Buffer.from('20,80.5\n40,80.5', 'utf16le')))).toStrictEqual([['not-text', undefined]]);
    expect(faults(read(Uint8Array.from({ length: 300 }, (_, at) => 1 + (at % 8))))).toStrictEqual([
      ['not-text', undefined],
    ]);
  });

  it('says so when a line or table is beyond all measure', () => {
    expect(faults(read('9'.repeat(70_000)))).toStrictEqual([['line-too-long', 1]]);
    const wide = Array.from({ length: 600 }, () => '1.5').join(',');
    expect(faults(read(`${wide}\n${wide}`))).toStrictEqual([['columns-not-understood', 1]]);
    const tall = readTextFile(taskOf('1 1\n2 1\n3 1\n4 1'), { ...defaultLimits, textRows: 3 });
    expect(faults(tall)).toStrictEqual([['too-many-rows', 4]]);
  });
});

describe('garbage', () => {
  it('never throws: it gives numbers or problems, and problems in text have a line', () => {
    const token = fc.constantFrom(
      '20',
      '80.5',
      ',',
      ';',
      '\t',
      ' ',
      '\n',
      '\r',
      '"',
      '#',
      'frequency_hz',
      'h30',
      'nan',
      '-',
      'e',
      '.',
      '\u2212',
      'db',
      '1e9',
      '\u0000',
      '\ufeff',
    );
    const garbage = fc.oneof(
      fc.array(token, { maxLength: 60 }).map((tokens) => new TextEncoder().encode(tokens.join(''))),
      fc.uint8Array({ maxLength: 200 }),
      fc.string({ unit: 'binary', maxLength: 200 }).map((text) => new TextEncoder().encode(text)),
    );
    const content = fc.constantFrom(
      'directivity',
      'impedance',
      'distortion',
      'multitone',
      'compression',
      'in-room',
      'calibration',
      undefined,
    );
    fc.assert(
      fc.property(garbage, content, (bytes, content) => {
        const reading = read(bytes, { content, levelDb: 86 });
        const lineless = new Set(['empty-file', 'not-text', 'angle-missing', 'name-not-understood']);
        for (const fault of reading.problems ?? []) {
          expect(fault.message).not.toBe('');
          expect(fault.remedy).not.toBe('');
          expect(lineless.has(fault.code) || fault.line! >= 1 || fault.message.includes('more')).toBe(true);
        }
        for (const angle of reading.angles ?? []) {
          expect(angle.levelDb.every(Number.isFinite) && angle.frequencyHz.every((hz) => hz > 0)).toBe(true);
        }
      }),
      { numRuns: 3000 },
    );
  });
});
