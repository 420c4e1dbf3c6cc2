// Package results keeps what a study finds in a folder on disk, and finds it again.
//
//   - record.go: study.json, all that is known of a study before it runs, the same on every machine;
//   - field.go: how columns are called and kept in Parquet files;
//   - encode.go: one range of candidates as the bytes of one Parquet file;
//   - shardfile.go: such a file read again, with what it says of itself;
//   - outcome.go: counts, front and best as JSON;
//   - folder.go: the folder: filled range by range, finished, and what it says of itself; create.go: made or gone on with,
//     locked (lock_unix.go, lock_windows.go);
//   - run.go: all missing ranges on this machine, with progress; collector.go: the garbage collector meanwhile;
//   - evolve.go: an evolutionary search instead, whose generations take the place of ranges;
//   - scan.go: what was kept, read block by block; keys.go: which column somebody means;
//   - query.go, filter.go: questions in trade words; sql.go, sqltable.go: questions in SQL;
//   - columns.go: many candidates by column, for pictures;
//   - weigh.go, weighvalues.go: what a file asks of its reader, before it is believed.
//
// A folder holds
//
//	study.json             what was searched, and for what
//	columns.md             every column with its name and unit, for whoever reads the Parquet files elsewhere
//	inputs/                the files of the study as they were
//	shards/000000.parquet  the candidates that were kept, range by range, each file with its counts
//	front.parquet          the candidates that no other dominates, when all is done
//	outcome.json           how many were looked at, left out by which rule, and kept; the front; the best
//	lock                   empty; held by the one process that writes
//
// The bytes of all files depend on the study and the program only, not on what was stopped and gone on with,
// on the sequence in which ranges were done, or on how many machines did them. Those of an evolutionary search also depend on
// its seed, on the size of its generations and on how many there are; each file of shards is then a generation, and what
// is told of it is always what was read from there.
package results
