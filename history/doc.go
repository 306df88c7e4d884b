// Package history watches the daemon's ticks and keeps what happened, on the
// board itself: how hot it was and what ran, minute by minute for some months and
// by quarter hours for twenty years; why each output was switched; what was found
// wrong and when it was gone; what a person set by hand; and the heat from the sun
// and from the meter, hour by hour.
//
// # What it promises
//
// It decides nothing and delays nobody. [History.Watch] adds a tick to the minute
// under way, in memory. A goroutine of its own writes, ten minutes at a time. When
// the storage is full, read-only, slow or dead, minutes wait for up to a day, then
// the oldest is lost and counted, and [History.Trouble] says what is wrong; the
// controller makes a finding of it. The last 32 MB of the storage are left to the
// controller's memory.
//
// One program writes to a folder: a second one says so, and keeps its own minutes
// until the first has ended (lock.go).
//
// A file that is damaged is set aside ("history.db.set-aside-2026-11-26"; the
// newest three are kept) and a new one begun. After a run that did not end in good
// order the file is looked through before it is written to. A file of a newer
// program, or of another one, is left alone, and nothing is written.
//
// # Time
//
// All times are UTC. While the clock is not trusted, minutes wait: once it is,
// they are dated by how long ago they were. After six hours, and when the program
// ends, they are written by the board's own clock and marked as not sure; they
// never take the place of a row that is sure. When the clock is set back, what is
// watched for the second time takes the place of what stands there, if it has seen
// as much of that time. A clock that is trusted and wrong by years costs two days
// of the oldest rows a day, not all of them.
//
// # The file
//
// history.db in the folder is an SQLite data base that outlives this program. Its
// tables are in file.go: minutes, quarter_hours, hours and days hold rows of one
// form, events what happened, names the words of reasons and findings as the
// program of that day said them. A row's figures are packed (row.go): of readings,
// levels and hot water the mean, the lowest and the highest value and for how long
// nothing was known; of heat and electricity the joules that came in that time.
// Each coarser row is made of the finer ones once its time is over. Readings are
// kept in hundredths of their unit (pressure and current in thousandths), levels
// in thousandths.
//
// The card is written to once in ten minutes, so that a power cut costs what was
// watched since and what the kernel had not yet written. Blocks written in a busy
// day, by the counter of an emulated disk under ext4 with its own journal (the script
// wear): 4.3 MB at ten minutes, 6.4 MB at five, 17.7 MB at one. No file system
// writes less than a block of 4 KiB, and a journal writes some more for each.
//
// # Reading
//
// [Open] reads the file while the daemon writes it. [Reader.Chart] gives curves with
// no more points than asked for, out of the fineness that has not too many rows;
// [Reader.Energy] adds up heat by civil days, months and years; [Reader.Events]
// tells what happened, [Reader.Spells] how long each finding stood;
// [Reader.Moment] and [Reader.Standing] tell what was measured and what counted at
// an instant. [Reader.Export], [Check] and [Shrink] stand behind the
// command "history".
package history
