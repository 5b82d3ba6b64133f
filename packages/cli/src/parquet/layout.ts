/** Folder of the channels in an archive, one file a log. */
export const channelsFolder = 'channels';

/** File with one row a log in an archive. */
export const summaryFile = 'logs.parquet';

/** Folder of the same for each part of an archive that is made in parts. */
export const partsFolder = 'parts';

/** Folder of what an archive remembers of the logs it has. */
export const seenFolder = 'seen';

/** A name that stays in its folder whatever the log is called: its hash, then its own name in plain letters. */
export function channelsFile(logPath: string, sha256: string): string {
  return `${sha256.slice(0, 16)}-${ownName(logPath)
    .replaceAll(/[^\w.-]+/g, '_')
    .slice(0, 80)}.parquet`;
}

/** A log's name without its folders. */
export function ownName(logPath: string): string {
  return logPath.split(/[/\\]/).at(-1) ?? '';
}
