import { type Place, PullproofError } from '../../findings/index.js';

const compressed: readonly { readonly name: string; readonly magic: readonly number[] }[] = [
  { name: 'gzip', magic: [0x1f, 0x8b] },
  { name: 'zip', magic: [0x50, 0x4b, 0x03, 0x04] },
  { name: 'zip', magic: [0x50, 0x4b, 0x05, 0x06] },
  { name: 'bzip2', magic: [0x42, 0x5a, 0x68, 0x39] },
  { name: 'xz', magic: [0xfd, 0x37, 0x7a, 0x58, 0x5a, 0x00] },
  { name: 'zstd', magic: [0x28, 0xb5, 0x2f, 0xfd] },
  { name: '7z', magic: [0x37, 0x7a, 0xbc, 0xaf, 0x27, 0x1c] },
];

/** Stops where the first bytes show that this is no delimited text: empty, compressed, a spreadsheet, a page, a document, a binary. */
export function refuseContainers(head: Uint8Array, whole: boolean, where: Place): void {
  if (whole && blank(head)) {
    throw new PullproofError(
      'E_EMPTY',
      'the file is empty or holds only white space.',
      where,
      'Record again, or give the file that holds the rows.',
    );
  }
  const found = compressed.find(({ magic }) => magic.every((byte, i) => head[i] === byte));
  if (found?.name === 'zip' && /xl\/|\[Content_Types\]\.xml|opendocument\.spreadsheet|mimetype/.test(latin(head.subarray(0, 4096)))) {
    refuseSpreadsheet(where);
  }
  if ([0xd0, 0xcf, 0x11, 0xe0].every((byte, i) => head[i] === byte)) refuseSpreadsheet(where);
  if (found !== undefined) {
    throw new PullproofError('E_COMPRESSED', `the file is compressed (${found.name}).`, where, 'Unpack it and give the text file inside.');
  }
  const start = latin(head.subarray(0, 512)).replace(/^(?:\xef\xbb\xbf)?\s*/, '');
  if (/^%PDF-/.test(start)) refuseText('a PDF document', where);
  if (/^<(?:!doctype|html|\?xml|head|body|table)/i.test(start)) refuseText('a web page or XML', where);
  if (/^[{[]\s*["{[]/.test(start)) refuseText('JSON, not a table of rows', where);
}

/** Stops where control characters show a binary. NUL is judged elsewhere: a power cut leaves runs of it in honest logs. */
export function refuseBinary(head: Uint8Array, where: Place): void {
  let control = 0;
  let nul = 0;
  for (let i = 0; i < head.length; i++) {
    const byte = head[i]!;
    if (byte === 0) nul++;
    else if (byte < 32 && byte !== 9 && byte !== 10 && byte !== 13 && byte !== 27) control++;
  }
  const rest = head.length - nul;
  if (rest === 0) throw new PullproofError('E_EMPTY', 'the file holds only NUL bytes.', where, 'Nothing was recorded: record again.');
  if (control > Math.max(8, 0.01 * rest)) refuseText('binary data', where);
}

function refuseSpreadsheet(where: Place): never {
  throw new PullproofError('E_SPREADSHEET', 'this is a spreadsheet file, not CSV.', where, 'Save the sheet as CSV and give that file.');
}

function refuseText(what: string, where: Place): never {
  throw new PullproofError('E_NOT_TEXT', `this is ${what}.`, where, 'Give the log as delimited text (CSV).');
}

function blank(bytes: Uint8Array): boolean {
  const from = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
  for (let i = from; i < bytes.length; i++) {
    const byte = bytes[i]!;
    if (byte !== 32 && (byte < 9 || byte > 13)) return false;
  }
  return true;
}

function latin(bytes: Uint8Array): string {
  return String.fromCharCode(...bytes);
}
