/** Folder of the channels in an archive, one file a log. */
export const channelsFolder = 'channels';

/** File with one row a log in an archive. */
export const summaryFile = 'logs.parquet';
