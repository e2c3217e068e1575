-- Rounds: shifts with the covers to open in them, and secret calendar
-- addresses. What is asked of a round and what the plan says of itself is JSON,
-- read whole; what is queried stands in columns and in round_buildings.

-- +goose Up
CREATE TABLE rounds (
  id           TEXT    NOT NULL PRIMARY KEY,
  name         TEXT    NOT NULL CHECK (name <> ''),
  state        TEXT    NOT NULL CHECK (state IN ('draft', 'published', 'closed', 'withdrawn')),
  variant_of   TEXT    REFERENCES rounds (id),
  asked        TEXT    NOT NULL CHECK (json_valid(asked)),
  result       TEXT    CHECK (json_valid(result)), -- NULL: not planned yet
  fit          TEXT    NOT NULL,
  by_id        TEXT    NOT NULL,
  by_name      TEXT    NOT NULL,
  created_at   INTEGER NOT NULL,
  published_at INTEGER,
  closed_at    INTEGER,
  version      INTEGER NOT NULL CHECK (version >= 1),

  from_day TEXT NOT NULL, -- copies of what was asked
  to_day   TEXT NOT NULL
) STRICT;

CREATE TABLE round_buildings (
  round_id    TEXT NOT NULL REFERENCES rounds (id),
  building_id TEXT NOT NULL REFERENCES buildings (id),
  PRIMARY KEY (round_id, building_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX round_buildings_building ON round_buildings (building_id, round_id);

CREATE TABLE round_stops (
  round_id       TEXT    NOT NULL REFERENCES rounds (id),
  cover_id       TEXT    NOT NULL REFERENCES covers (id),
  building_id    TEXT    NOT NULL REFERENCES buildings (id),
  room_id        TEXT    NOT NULL REFERENCES rooms (id),
  shift          TEXT    NOT NULL,
  position       INTEGER NOT NULL,
  must           INTEGER NOT NULL CHECK (must IN (0, 1)),
  reason         TEXT    NOT NULL,
  benefit        REAL    NOT NULL,
  minutes        INTEGER NOT NULL,
  use_tape_m     REAL    NOT NULL,
  use_sealant_ml REAL    NOT NULL,
  use_coating_ml REAL    NOT NULL,
  use_blanket_m2 REAL    NOT NULL,
  p_wet          REAL    NOT NULL,
  risk           INTEGER NOT NULL,
  opening_id     TEXT    REFERENCES openings (id), -- root of the record that answers it
  skipped        TEXT    NOT NULL,
  replaced       INTEGER NOT NULL CHECK (replaced IN (0, 1)),

  day          TEXT NOT NULL, -- of its shift
  inspector_id TEXT NOT NULL, -- of its shift, '' whoever comes
  PRIMARY KEY (round_id, cover_id),
  CHECK (opening_id IS NULL OR skipped = '')
) STRICT, WITHOUT ROWID;
CREATE INDEX round_stops_shift ON round_stops (round_id, day, shift, position);
CREATE INDEX round_stops_cover ON round_stops (cover_id, round_id);
CREATE INDEX round_stops_open ON round_stops (inspector_id, day, shift, position)
  WHERE opening_id IS NULL AND skipped = '' AND replaced = 0;

CREATE TABLE calendars (
  id          TEXT    NOT NULL PRIMARY KEY,
  owner_id    TEXT    NOT NULL REFERENCES users (id),
  building_id TEXT    REFERENCES buildings (id),
  hash        TEXT    NOT NULL, -- SHA-256 of the secret
  created_at  INTEGER NOT NULL,
  last_read   INTEGER,
  revoked     INTEGER NOT NULL CHECK (revoked IN (0, 1))
) STRICT;
CREATE UNIQUE INDEX calendars_hash ON calendars (hash);
CREATE INDEX calendars_owner ON calendars (owner_id, created_at);

-- A closed round stays as it was closed, and no round goes away.
-- +goose StatementBegin
CREATE TRIGGER rounds_no_delete BEFORE DELETE ON rounds BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER rounds_closed_update BEFORE UPDATE ON rounds WHEN OLD.state = 'closed' BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER round_buildings_closed_insert BEFORE INSERT ON round_buildings
  WHEN (SELECT state FROM rounds WHERE id = NEW.round_id) = 'closed' BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER round_buildings_no_update BEFORE UPDATE ON round_buildings BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER round_buildings_closed_delete BEFORE DELETE ON round_buildings
  WHEN (SELECT state FROM rounds WHERE id = OLD.round_id) = 'closed' BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER round_stops_closed_insert BEFORE INSERT ON round_stops
  WHEN (SELECT state FROM rounds WHERE id = NEW.round_id) = 'closed' BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER round_stops_closed_update BEFORE UPDATE ON round_stops
  WHEN (SELECT state FROM rounds WHERE id = OLD.round_id) = 'closed' BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER round_stops_done_delete BEFORE DELETE ON round_stops
  WHEN OLD.opening_id IS NOT NULL OR (SELECT state FROM rounds WHERE id = OLD.round_id) = 'closed' BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
