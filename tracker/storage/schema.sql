-- A basket, version 1. Statements stand apart by a blank line: each is run by itself.

CREATE TABLE pattern (
  sha256 TEXT NOT NULL PRIMARY KEY CHECK (length(sha256) = 64),
  text TEXT NOT NULL
) STRICT;

-- last and chain repeat the newest event's number and checksum: a lost tail shows.
-- touched is the time that is shown; touch counts the touches of all pairs, and so orders them.
-- sock, section, done, in_step and how far sock two is behind (below 0: sock one) are the summary: listing
-- the pairs replays nothing.
-- seal is a checksum of all other columns: a changed byte shows in the list, too.
CREATE TABLE pair (
  id INTEGER PRIMARY KEY,
  uid BLOB NOT NULL UNIQUE CHECK (length(uid) = 16),
  short TEXT NOT NULL UNIQUE,
  title TEXT NOT NULL,
  pattern TEXT NOT NULL REFERENCES pattern (sha256),
  source TEXT NOT NULL,
  count TEXT NOT NULL CHECK (count IN ('rounds', 'needles')),
  away INTEGER NOT NULL DEFAULT 0 CHECK (away IN (0, 1)),
  last INTEGER NOT NULL DEFAULT 0 CHECK (last >= 0),
  chain BLOB NOT NULL CHECK (length(chain) = 16),
  touched INTEGER NOT NULL,
  touch INTEGER NOT NULL CHECK (touch > 0),
  sock INTEGER NOT NULL CHECK (sock IN (1, 2)),
  section TEXT NOT NULL,
  done INTEGER NOT NULL,
  in_step INTEGER NOT NULL CHECK (in_step IN (0, 1)),
  rounds_behind INTEGER NOT NULL,
  stitches_behind INTEGER NOT NULL,
  seal BLOB NOT NULL CHECK (length(seal) = 16)
) STRICT;

-- How many pairs there are: a line that was lost shows.
CREATE TABLE tally (
  one INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
  pairs INTEGER NOT NULL CHECK (pairs >= 0)
) STRICT;

INSERT INTO tally (one, pairs) VALUES (1, 0);

CREATE TABLE event (
  pair INTEGER NOT NULL REFERENCES pair (id),
  number INTEGER NOT NULL CHECK (number > 0),
  at INTEGER NOT NULL,
  "offset" INTEGER NOT NULL,
  sock INTEGER NOT NULL CHECK (sock IN (0, 1, 2)),
  kind TEXT NOT NULL,
  data TEXT NOT NULL,
  uid BLOB NOT NULL CHECK (length(uid) = 16),
  version INTEGER NOT NULL CHECK (version > 0),
  chain BLOB NOT NULL CHECK (length(chain) = 16),
  PRIMARY KEY (pair, number)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER event_is_never_changed BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never changed'); END;

CREATE TRIGGER event_is_never_erased BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never erased'); END;

-- INSERT OR REPLACE would erase without the trigger above; so would a gap hide a loss.
CREATE TRIGGER event_comes_next BEFORE INSERT ON event
WHEN NEW.number <> 1 + (SELECT last FROM pair WHERE id = NEW.pair)
BEGIN SELECT RAISE(ABORT, 'an event follows the last one'); END;

CREATE TRIGGER pattern_is_never_changed BEFORE UPDATE ON pattern
BEGIN SELECT RAISE(ABORT, 'a pattern is never changed'); END;

CREATE TRIGGER pair_is_counted AFTER INSERT ON pair
BEGIN UPDATE tally SET pairs = pairs + 1; END;

CREATE TRIGGER pair_is_never_erased BEFORE DELETE ON pair
BEGIN SELECT RAISE(ABORT, 'a pair is never erased'); END;
