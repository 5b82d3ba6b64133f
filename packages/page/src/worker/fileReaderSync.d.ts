/** A worker may read a file in one go; the types of a page do not have it, and those of a worker cannot stand beside them. */
declare class FileReaderSync {
  readAsArrayBuffer(blob: Blob): ArrayBuffer;
}
