import { partsFolder } from '../parquet/layout.js';

/** Name of the joined table, one row a log. */
const joinedFile = 'joined.parquet';

/**
 * The DuckDB statement that joins the tables of the parts of an archive into one, sorted by log: the same bytes however the list was cut.
 *
 * @param folder as given to `check --parquet`; written into the statement as a text, whatever it holds
 */
export function archiveJoin(folder: string): string {
  const place = folder.replace(/[/\\]+$/, '').replaceAll("'", "''");
  return `COPY (
  SELECT * FROM read_parquet('${place}/${partsFolder}/*.parquet', union_by_name = true)
  QUALIFY row_number() OVER (PARTITION BY log ORDER BY log_sha256) = 1
  ORDER BY log
) TO '${place}/${joinedFile}' (FORMAT parquet);
`;
}
