package history

import (
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"strings"

	"modernc.org/sqlite"
	codes "modernc.org/sqlite/lib"
)

// FileName is the history's file in its folder.
const FileName = "history.db"

// The file is an SQLite data base, so that it outlives this program. Its marks:
const (
	applicationID = 0x73756e73 // "suns"
	form          = 1          // of the tables; raised with every change of them
)

// schema is form 1 of the tables. Starts and instants are Unix seconds, UTC. Cells
// are packed as row.go tells, by the series that the row's layout lists.
const schema = `
CREATE TABLE layouts (id INTEGER PRIMARY KEY, series TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE names (id INTEGER PRIMARY KEY, name TEXT NOT NULL, words TEXT NOT NULL, UNIQUE (name, words)) STRICT;
CREATE TABLE minutes (start INTEGER PRIMARY KEY, seconds INTEGER NOT NULL, sure INTEGER NOT NULL, layout INTEGER NOT NULL, cells BLOB NOT NULL) STRICT;
CREATE TABLE quarter_hours (start INTEGER PRIMARY KEY, seconds INTEGER NOT NULL, sure INTEGER NOT NULL, layout INTEGER NOT NULL, cells BLOB NOT NULL) STRICT;
CREATE TABLE hours (start INTEGER PRIMARY KEY, seconds INTEGER NOT NULL, sure INTEGER NOT NULL, layout INTEGER NOT NULL, cells BLOB NOT NULL) STRICT;
CREATE TABLE days (start INTEGER PRIMARY KEY, seconds INTEGER NOT NULL, sure INTEGER NOT NULL, layout INTEGER NOT NULL, cells BLOB NOT NULL) STRICT;
CREATE TABLE events (at INTEGER NOT NULL, n INTEGER NOT NULL, kind INTEGER NOT NULL, sure INTEGER NOT NULL,
	system INTEGER, part INTEGER, level INTEGER, rank INTEGER, what INTEGER, says INTEGER, a INTEGER, b INTEGER, c INTEGER, detail TEXT,
	PRIMARY KEY (at, n)) STRICT, WITHOUT ROWID;
`

// indexes finds what is no decision, which is rare. A query must say "kind > 1" to use
// it. Files of earlier days have another one.
const indexes = `
CREATE INDEX IF NOT EXISTS rare_events ON events (at) WHERE kind > 1;
DROP INDEX IF EXISTS findings;
`

// Pragmas of the connection that writes. A file that is appended to as a log
// (WAL) costs one page for each page that changed, and lets others read
// meanwhile; a rollback journal would write the old page, the new page and the
// journal's head, and wait for the card three times. With synchronous = NORMAL
// SQLite waits for the card only when the log is carried over into the file, once
// in a day or two: a power cut loses what the kernel had not yet written (half a
// minute), and leaves a sound file. auto_vacuum keeps account of free pages, so that shrinking needs
// no room for a second file.
var writePragmas = []string{
	"busy_timeout = 5000", "auto_vacuum = INCREMENTAL", "journal_mode = WAL", "synchronous = NORMAL",
	"cache_size = -256", "temp_store = MEMORY", "journal_size_limit = 4194304",
}

// Errors of a file that is in order but not ours to write.
var (
	errNewer   = errors.New("it was written by a newer version of the program: update this one, or name another folder in the site file (folder under [history])")
	errForeign = errors.New("it is a data base of another program: name another folder in the site file (folder under [history]), or move it away")
)

// dsn is a file as SQLite's driver names it, with settings of the connection.
func dsn(path, query string) string {
	return (&url.URL{Scheme: "file", OmitHost: true, Path: path, RawQuery: query}).String()
}

// openForWriting opens a file, and makes it when it is missing.
func openForWriting(path, query string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", dsn(path, query))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	if err := prepare(db); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

func prepare(db *sql.DB) error {
	// First of all: nothing is changed in a file that is not ours.
	version, err := formOf(db)
	if err != nil {
		return err
	}
	for _, p := range writePragmas {
		if _, err := db.Exec("PRAGMA " + p); err != nil {
			return err
		}
	}
	if version == form {
		_, err := db.Exec(indexes)
		return err
	}
	return inTransaction(db, func(tx *sql.Tx) error {
		_, err := tx.Exec(schema + indexes + fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, form))
		return err
	})
}

// formOf tells which form the tables have, 0 for a file that is new.
func formOf(db *sql.DB) (version int, err error) {
	var id, tables int
	// Three questions, since SQLite gives one figure a pragma.
	for pragma, to := range map[string]*int{"PRAGMA application_id": &id, "PRAGMA user_version": &version, "SELECT count(*) FROM sqlite_schema": &tables} {
		if err := db.QueryRow(pragma).Scan(to); err != nil {
			return 0, err
		}
	}
	switch {
	case id == 0 && version == 0 && tables == 0:
		return 0, nil
	case id != applicationID:
		return 0, errForeign
	case version > form:
		return 0, errNewer
	case version < 1:
		return 0, errForeign
	}
	return version, nil
}

func inTransaction(db *sql.DB, do func(*sql.Tx) error) error {
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	if err := do(tx); err != nil {
		return errors.Join(err, ignoreDone(tx.Rollback()))
	}
	return tx.Commit()
}

// ignoreDone drops the error of rolling back what SQLite has rolled back itself,
// as it does when the disk is full.
func ignoreDone(err error) error {
	if err == nil || errors.Is(err, sql.ErrTxDone) || strings.Contains(err.Error(), "no transaction is active") {
		return nil
	}
	return err
}

// primary is SQLite's primary result code of an error, 0 for other errors.
func primary(err error) int {
	if e, is := errors.AsType[*sqlite.Error](err); is {
		return e.Code() & 0xff
	}
	return 0
}

// isDamaged tells of an error that only another file cures.
func isDamaged(err error) bool {
	code := primary(err)
	return code == codes.SQLITE_CORRUPT || code == codes.SQLITE_NOTADB || errors.Is(err, errCells) || errors.Is(err, errDamaged)
}

const whatToDoAboutDamage = "it is set aside when the program meets the damage, or stop the program and move the file away yourself"

var errDamaged = errors.New("the file is damaged")

// inWords says what an error means and what to do.
func inWords(err error) string {
	switch primary(err) {
	case codes.SQLITE_FULL:
		return "the storage is full: free some space, or make the history smaller with the command \"history shrink\""
	case codes.SQLITE_READONLY:
		return "the file can't be written to: the card has become read-only, or the file belongs to another user"
	case codes.SQLITE_IOERR:
		return "the storage fails: the card is full, worn or dying (" + err.Error() + ")"
	case codes.SQLITE_BUSY, codes.SQLITE_LOCKED:
		return "another program holds the file: wait for it, or end it"
	case codes.SQLITE_CORRUPT, codes.SQLITE_NOTADB:
		return "the file is damaged: " + whatToDoAboutDamage + " (" + err.Error() + ")"
	case codes.SQLITE_CANTOPEN:
		return "the file can't be opened: let the service's user read and write its folder"
	}
	return err.Error()
}
