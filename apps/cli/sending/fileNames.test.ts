import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { defaultLimits } from '../../../libs/measurement-files/limits.js';
import { readManifest } from '../../../libs/measurement-files/manifest/readManifest.js';
import {
  folderAsMeant,
  folderKey,
  isHeldElsewhere,
  isTemporary,
  nameInSet,
  sameNameInOtherCase,
  whyNotOnWindows,
} from './fileNames.js';

describe('names from the measuring computer', () => {
  it('passes over what is not finished and what systems leave behind', () => {
    const not = [
      '~$set.csv',
      'h+000.csv~',
      'h+000.csv.tmp',
      'far/h+000.WAV.part',
      '.hidden/h+000.csv',
      'Thumbs.db',
    ];
    expect(not.filter((name) => !isTemporary(name))).toEqual([]);
    const measured = [
      'h+000.csv',
      'V -10.csv',
      'far/h330.wav',
      'manifest.json',
      'template.csv',
      'partial-1.csv',
    ];
    expect(measured.filter(isTemporary)).toEqual([]);
  });

  it('gives a file the same name from every system', () => {
    expect(nameInSet('far\\h+000.csv', path.win32.sep)).toBe('far/h+000.csv');
    expect(nameInSet('far/h+000.csv', path.posix.sep)).toBe('far/h+000.csv');
    // A backslash is a letter like any other elsewhere.
    expect(nameInSet('far\\h+000.csv', path.posix.sep)).toBe('far\\h+000.csv');
    // é as one letter (Windows) or as e and an accent (macOS).
    expect(nameInSet('caf\u0065\u0301/h+000.csv', '/')).toBe('caf\u00e9/h+000.csv');
  });

  it('takes a folder as it was meant, drive letters, shares and a quotation mark too many', () => {
    expect(folderAsMeant('C:\\rig\\heron"', 'win32')).toBe('C:\\rig\\heron');
    expect(folderAsMeant('/rig/heron"', 'linux')).toBe('/rig/heron"');
    const long = `C:\\${'a-long-folder-name\\'.repeat(20)}heron`;
    expect(long.length).toBeGreaterThan(260);
    for (const same of ['C:\\Rig\\Heron', 'c:/rig/heron/', '\\\\?\\C:\\rig\\heron'])
      expect(folderKey(same, 'win32')).toBe('c:\\rig\\heron');
    expect(folderKey(`\\\\?\\${long}`, 'win32')).toBe(long.toLowerCase());
    expect(folderKey('\\\\?\\UNC\\rig-pc\\share\\heron', 'win32')).toBe('\\\\rig-pc\\share\\heron');
    expect(folderKey('/Rig/Heron', 'linux')).not.toBe(folderKey('/rig/heron', 'linux'));
  });

  // Microsoft, "Naming Files, Paths, and Namespaces".
  it('knows the names that Windows can’t write', () => {
    const not = [
      'CON',
      'nul.csv',
      'far/LPT1.wav',
      'com9.txt',
      'h+000.csv.',
      'far /h.csv',
      'h:000.csv',
      'h?.csv',
    ];
    expect(not.filter((name) => whyNotOnWindows(name) === undefined)).toEqual([]);
    const fine = ['h+000.csv', 'V -10.csv', 'console.csv', 'common.wav', 'com10.csv', 'far/h330.wav'];
    expect(fine.filter((name) => whyNotOnWindows(name) !== undefined)).toEqual([]);
    expect(sameNameInOtherCase(['H+000.csv', 'h+010.csv', 'h+000.CSV'])).toEqual([
      ['H+000.csv', 'h+000.CSV'],
    ]);
  });

  it('waits for a file that another program holds, and not for a right that is missing', () => {
    for (const code of ['EBUSY', 'EPERM', 'EACCES']) expect(isHeldElsewhere(code, 'win32')).toBe(true);
    expect([isHeldElsewhere('EBUSY', 'linux'), isHeldElsewhere('EACCES', 'linux')]).toEqual([true, false]);
    expect(isHeldElsewhere('ENOENT', 'win32')).toBe(false);
  });

  it('reads a manifest with the line ends and the byte order mark of Windows', () => {
    const text =
      '\uFEFF{\r\n  "files": [\r\n    { "file": "h+000.csv", "role": "directivity" }\r\n  ]\r\n}\r\n';
    const read = readManifest('manifest.json', Buffer.from(text), defaultLimits);
    expect(read.problems).toEqual([]);
  });
});
