-- What the openings have taught, the expert's judgement behind it, and what was
-- expected of each opening before it was made. All of it is append-only.

-- +goose Up
CREATE TABLE learned_fits (
  seq       INTEGER NOT NULL PRIMARY KEY,
  version   TEXT    NOT NULL CHECK (version <> ''),
  at        INTEGER NOT NULL,
  cause     TEXT    NOT NULL,
  until_day TEXT    NOT NULL,
  n         INTEGER NOT NULL,
  wet       INTEGER NOT NULL,
  rejected  INTEGER NOT NULL,
  priors    INTEGER NOT NULL CHECK (priors >= 0), -- version of prior_sets, 0 what ships
  body      TEXT    NOT NULL CHECK (json_valid(body))
) STRICT;
CREATE UNIQUE INDEX learned_fits_version ON learned_fits (version);

CREATE TABLE prior_sets (
  version INTEGER NOT NULL PRIMARY KEY CHECK (version >= 1),
  by_id   TEXT    NOT NULL,
  by_name TEXT    NOT NULL,
  at      INTEGER NOT NULL,
  why     TEXT    NOT NULL
) STRICT;

CREATE TABLE prior_rows (
  version  INTEGER NOT NULL REFERENCES prior_sets (version),
  position INTEGER NOT NULL,
  name     TEXT    NOT NULL,
  mean     REAL    NOT NULL,
  sd       REAL    NOT NULL,
  PRIMARY KEY (version, position),
  UNIQUE (version, name)
) STRICT, WITHOUT ROWID;

CREATE TABLE predictions (
  opening_id  TEXT    NOT NULL PRIMARY KEY REFERENCES openings (id), -- root of the opening
  cover_id    TEXT    NOT NULL REFERENCES covers (id),
  building_id TEXT    NOT NULL REFERENCES buildings (id),
  round_id    TEXT    REFERENCES rounds (id),
  day         TEXT    NOT NULL CHECK (length(day) = 10),
  age         REAL    NOT NULL,
  p           REAL    NOT NULL,
  lo          REAL    NOT NULL,
  hi          REAL    NOT NULL,
  eta         REAL    NOT NULL,
  base        REAL    NOT NULL,
  by_age      REAL    NOT NULL,
  expert      REAL    NOT NULL,
  fit         TEXT    NOT NULL,
  made        INTEGER NOT NULL
) STRICT;
CREATE INDEX predictions_day ON predictions (day, opening_id);
CREATE INDEX predictions_building ON predictions (building_id, day, opening_id);

-- +goose StatementBegin
CREATE TRIGGER learned_fits_no_update BEFORE UPDATE ON learned_fits BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER learned_fits_no_delete BEFORE DELETE ON learned_fits BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER prior_sets_no_update BEFORE UPDATE ON prior_sets BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER prior_sets_no_delete BEFORE DELETE ON prior_sets BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER prior_rows_no_update BEFORE UPDATE ON prior_rows BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER prior_rows_no_delete BEFORE DELETE ON prior_rows BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER predictions_no_update BEFORE UPDATE ON predictions BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER predictions_no_delete BEFORE DELETE ON predictions BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
