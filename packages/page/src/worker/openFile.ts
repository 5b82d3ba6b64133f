import { sha256 } from '@noble/hashes/sha2.js';
import type { OpenedLog } from '@pullproof/core';

/** Bytes handed on at a time. */
const pieceBytes = 4 << 20;

/**
 * A file of the page's, opened for reading.
 * @param file as dropped or chosen
 * @param onRead told the share that was read, after each piece
 * @returns its bytes piece by piece, and their hash once all were read
 */
export function openFile(file: Blob, onRead: (share: number) => void): OpenedLog {
  const hash = sha256.create();
  let hashed = 0;
  const reader = new FileReaderSync();
  const pieceAt = (from: number): Uint8Array => new Uint8Array(reader.readAsArrayBuffer(file.slice(from, from + pieceBytes)));
  const take = (from: number, piece: Uint8Array): void => {
    if (from !== hashed) return;
    hash.update(piece);
    hashed += piece.length;
  };
  return {
    sizeBytes: file.size,
    chunks: {
      *[Symbol.iterator]() {
        for (let from = 0; from < file.size; from += pieceBytes) {
          const piece = pieceAt(from);
          take(from, piece);
          onRead(Math.min(1, (from + piece.length) / file.size));
          yield piece;
        }
      },
    },
    sha256: () => {
      while (hashed < file.size) take(hashed, pieceAt(hashed));
      return Array.from(hash.digest(), (byte) => byte.toString(16).padStart(2, '0')).join('');
    },
  };
}
