-- The record. Instants are milliseconds since 1970 UTC, days are 'YYYY-MM-DD'
-- with '' for no day, truth values are 0 or 1 with NULL for not answered.

-- +goose Up
CREATE TABLE buildings (
  id                TEXT    NOT NULL PRIMARY KEY,
  name              TEXT    NOT NULL CHECK (name <> ''),
  time_zone         TEXT    NOT NULL,
  currency          TEXT    NOT NULL,
  year_built        INTEGER,
  asbestos_register TEXT    NOT NULL,
  altitude_m        REAL,
  labor_rate        REAL,
  tape_price        REAL,
  cop               REAL,
  tariff            REAL,
  ton_hour_cost     REAL,
  limit_years       REAL,
  first_look_years  REAL,
  note              TEXT    NOT NULL,
  version           INTEGER NOT NULL CHECK (version >= 1)
) STRICT;
CREATE UNIQUE INDEX buildings_name ON buildings (lower(name));

CREATE TABLE rooms (
  id          TEXT    NOT NULL PRIMARY KEY,
  building_id TEXT    NOT NULL REFERENCES buildings (id),
  name        TEXT    NOT NULL CHECK (name <> ''),
  kind        TEXT    NOT NULL,
  temp_c      REAL,
  position    INTEGER NOT NULL,
  note        TEXT    NOT NULL,
  version     INTEGER NOT NULL CHECK (version >= 1)
) STRICT;
CREATE UNIQUE INDEX rooms_name ON rooms (building_id, lower(name));

CREATE TABLE loops (
  id           TEXT    NOT NULL PRIMARY KEY,
  building_id  TEXT    NOT NULL REFERENCES buildings (id),
  name         TEXT    NOT NULL CHECK (name <> ''),
  kind         TEXT    NOT NULL,
  supply_c     REAL,
  return_c     REAL,
  hot_c        REAL,
  hot_from     TEXT    NOT NULL,
  hot_to       TEXT    NOT NULL,
  stopped_from TEXT    NOT NULL,
  stopped_to   TEXT    NOT NULL,
  version      INTEGER NOT NULL CHECK (version >= 1)
) STRICT;
CREATE UNIQUE INDEX loops_name ON loops (building_id, lower(name));

CREATE TABLE components (
  id              TEXT    NOT NULL PRIMARY KEY,
  room_id         TEXT    NOT NULL REFERENCES rooms (id),
  loop_id         TEXT    REFERENCES loops (id),
  tag             TEXT    NOT NULL CHECK (tag <> ''),
  kind            TEXT    NOT NULL,
  nps             REAL,
  material        TEXT    NOT NULL,
  connection      TEXT    NOT NULL,
  side            TEXT    NOT NULL,
  service_c       REAL,
  pressure_bar    REAL,
  nominal_wall_mm REAL,
  schedule        TEXT    NOT NULL,
  class           INTEGER NOT NULL CHECK (class BETWEEN 0 AND 4),
  location        TEXT    NOT NULL,
  height          REAL,
  access          TEXT    NOT NULL,
  people          INTEGER NOT NULL,
  permit          TEXT    NOT NULL,
  flow            TEXT    NOT NULL,
  position        INTEGER NOT NULL,
  below           TEXT    NOT NULL,
  spare           TEXT    NOT NULL,
  without         TEXT    NOT NULL,
  pools           INTEGER NOT NULL CHECK (pools IN (0, 1)),
  note            TEXT    NOT NULL
) STRICT;
CREATE INDEX components_room ON components (room_id);
CREATE INDEX components_loop ON components (loop_id);

-- A cover's row holds three things: what people entered (to version), copies
-- that make lists fast (walk order, search text, its last opening), and the
-- columns of its current score by which lists sort and filter. The copies are
-- written in the transaction of what they copy.
CREATE TABLE covers (
  id             TEXT    NOT NULL PRIMARY KEY,
  component_id   TEXT    NOT NULL REFERENCES components (id),
  label          TEXT    NOT NULL,
  state          TEXT    NOT NULL CHECK (state IN ('planned', 'in_place', 'off', 'replaced', 'retired')),
  insulation     TEXT    NOT NULL,
  thickness_mm   REAL,
  conductivity   REAL,
  facing         TEXT    NOT NULL,
  permeance_perm REAL,
  closure        TEXT    NOT NULL,
  penetrations   INTEGER,
  seam_clock     REAL,
  sight_port     INTEGER NOT NULL CHECK (sight_port IN (0, 1)),
  inhibitor      TEXT    NOT NULL,
  pattern        TEXT    NOT NULL,
  fitted         TEXT    NOT NULL,
  since          TEXT    NOT NULL,
  coated_on      TEXT    NOT NULL,
  coat_quality   TEXT    NOT NULL,
  note           TEXT    NOT NULL,
  off_since      TEXT    NOT NULL,
  version        INTEGER NOT NULL CHECK (version >= 1),

  building_id TEXT NOT NULL REFERENCES buildings (id),
  room_id     TEXT NOT NULL REFERENCES rooms (id),
  loop_id     TEXT REFERENCES loops (id),
  walk        TEXT NOT NULL, -- building, room order, place along the pipe, tag as one text that sorts
  tag_order   TEXT NOT NULL, -- the tag with its numbers padded, so that V-2 stands before V-12
  tag_key     TEXT NOT NULL, -- the tag in lower case
  label_key   TEXT NOT NULL, -- the label in lower case
  find_text   TEXT NOT NULL, -- tag, label, where, room and building in lower case

  last_opening_root TEXT,
  last_opened       TEXT NOT NULL DEFAULT '',
  last_wet          INTEGER CHECK (last_wet IN (0, 1)),
  last_rust         TEXT NOT NULL DEFAULT '',
  last_area         REAL,

  marks       INTEGER NOT NULL DEFAULT 1, -- how often its inputs have changed
  scored_mark INTEGER NOT NULL DEFAULT 0, -- marks at the time of its score
  score_stale INTEGER NOT NULL GENERATED ALWAYS AS (marks <> scored_mark) VIRTUAL,

  score_on   TEXT    NOT NULL DEFAULT '',
  condition  TEXT    NOT NULL DEFAULT '',
  p_wet      REAL,
  p_wet_lo   REAL,
  p_wet_hi   REAL,
  risk       INTEGER,
  due_on     TEXT    NOT NULL DEFAULT '',
  due_rule   TEXT    NOT NULL DEFAULT '',
  due_why    TEXT    NOT NULL DEFAULT '',
  window_on  TEXT    NOT NULL DEFAULT '',
  action     TEXT    NOT NULL DEFAULT '',
  overdue    INTEGER NOT NULL DEFAULT 0 CHECK (overdue IN (0, 1)),
  worth      REAL,
  minutes    REAL,
  sweat      INTEGER NOT NULL DEFAULT 0, -- bit 0 = January
  due_order  TEXT    NOT NULL GENERATED ALWAYS AS (CASE due_on WHEN '' THEN '9999-12-31' ELSE due_on END) VIRTUAL,
  risk_order INTEGER NOT NULL GENERATED ALWAYS AS (COALESCE(-risk, 1)) VIRTUAL
) STRICT;
CREATE UNIQUE INDEX covers_label ON covers (label_key) WHERE label_key <> '';
CREATE INDEX covers_component ON covers (component_id);
CREATE INDEX covers_loop ON covers (loop_id);
CREATE INDEX covers_walk ON covers (walk, id);
CREATE INDEX covers_building_walk ON covers (building_id, walk, id);
CREATE INDEX covers_room_walk ON covers (room_id, walk, id);
CREATE INDEX covers_tag ON covers (tag_order, walk, id);
CREATE INDEX covers_due ON covers (due_order, walk, id);
CREATE INDEX covers_building_due ON covers (building_id, due_order, walk, id);
CREATE INDEX covers_risk ON covers (risk_order, walk, id);
CREATE INDEX covers_building_risk ON covers (building_id, risk_order, walk, id);
CREATE INDEX covers_stale ON covers (walk, id) WHERE score_stale;
CREATE INDEX covers_numbers ON covers (building_id, state, condition, action, due_on, overdue, score_stale, minutes, room_id);

-- Every version of every opening. The current one has the highest version of
-- its root. Nothing here is ever changed: see the triggers below.
CREATE TABLE openings (
  id          TEXT    NOT NULL PRIMARY KEY,
  root_id     TEXT    NOT NULL,
  version     INTEGER NOT NULL CHECK (version >= 1),
  reason      TEXT    NOT NULL,
  outcome     TEXT    NOT NULL,
  cover_id    TEXT    NOT NULL REFERENCES covers (id),
  building_id TEXT    NOT NULL REFERENCES buildings (id),
  day         TEXT    NOT NULL CHECK (length(day) = 10),
  entered_at  INTEGER NOT NULL,
  opened_by   TEXT    NOT NULL,
  recorder_id TEXT    NOT NULL,
  amends      TEXT    NOT NULL,
  not_opened  TEXT    NOT NULL,
  drips       INTEGER CHECK (drips IN (0, 1)),
  label       INTEGER CHECK (label IN (0, 1)),
  moisture    TEXT    NOT NULL,
  water_clock REAL,
  water_share REAL,
  blanket     TEXT    NOT NULL,
  mold        INTEGER CHECK (mold IN (0, 1)),
  stain       TEXT    NOT NULL,
  metal_seen       INTEGER NOT NULL CHECK (metal_seen IN (0, 1)),
  metal_coating    TEXT NOT NULL,
  metal_scale      TEXT NOT NULL,
  metal_grade      TEXT NOT NULL,
  metal_area_pct   REAL,
  metal_form       TEXT NOT NULL,
  metal_fresh_rust INTEGER CHECK (metal_fresh_rust IN (0, 1)),
  metal_pit_mm     REAL,
  dried       TEXT    NOT NULL,
  prepared    TEXT    NOT NULL,
  coated      TEXT    NOT NULL,
  film_um     REAL,
  cured       INTEGER CHECK (cured IN (0, 1)),
  closing_metal   TEXT NOT NULL,
  closing_blanket TEXT NOT NULL,
  closing_water   TEXT NOT NULL,
  closing_cover   TEXT NOT NULL,
  closing_off_why TEXT NOT NULL,
  closing_label   INTEGER CHECK (closing_label IN (0, 1)),
  used_tape_m     REAL,
  used_sealant_ml REAL,
  used_coating_ml REAL,
  used_blanket_m2 REAL,
  used_minutes    REAL,
  note        TEXT    NOT NULL,

  answered INTEGER NOT NULL CHECK (answered IN (0, 1)), -- says wet or dry at all
  wet      INTEGER NOT NULL CHECK (wet IN (0, 1)),
  bared    INTEGER NOT NULL CHECK (bared IN (0, 1)),    -- the metal was seen: opened, or already off
  ri       INTEGER CHECK (ri BETWEEN 0 AND 5),          -- as recorded or derived
  area_pct REAL,                                        -- as recorded or derived
  -- Plain, not generated: an index on a generated column never covers a query.
  quarter  TEXT NOT NULL CHECK (quarter = substr(day, 1, 4) || ' Q' || ((CAST(substr(day, 6, 2) AS INTEGER) + 2) / 3))
) STRICT;
CREATE UNIQUE INDEX openings_version ON openings (root_id, version);
CREATE INDEX openings_cover ON openings (cover_id, day, root_id);
CREATE INDEX openings_trend ON openings (building_id, quarter, wet, answered, bared, ri, root_id, version);

CREATE VIEW openings_now AS
  SELECT o.* FROM openings o
  WHERE NOT EXISTS (SELECT 1 FROM openings n WHERE n.root_id = o.root_id AND n.version > o.version);

CREATE TABLE opening_places (
  opening_id TEXT    NOT NULL REFERENCES openings (id),
  position   INTEGER NOT NULL,
  place      TEXT    NOT NULL,
  as_found   TEXT    NOT NULL,
  as_left    TEXT    NOT NULL,
  PRIMARY KEY (opening_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE thickness_readings (
  id          TEXT    NOT NULL PRIMARY KEY,
  cover_id    TEXT    NOT NULL REFERENCES covers (id),
  opening_id  TEXT    REFERENCES openings (id),
  position    INTEGER NOT NULL,
  day         TEXT    NOT NULL,
  point       TEXT    NOT NULL,
  value       REAL    NOT NULL,
  unit        TEXT    NOT NULL CHECK (unit IN ('mm', 'in')),
  gauge       TEXT    NOT NULL,
  check_block INTEGER CHECK (check_block IN (0, 1)),
  by_name     TEXT    NOT NULL,
  entered_at  INTEGER NOT NULL,
  recorder_id TEXT    NOT NULL
) STRICT;
CREATE INDEX thickness_readings_cover ON thickness_readings (cover_id, day);
CREATE INDEX thickness_readings_opening ON thickness_readings (opening_id, position);

CREATE TABLE looks (
  id          TEXT    NOT NULL PRIMARY KEY,
  cover_id    TEXT    NOT NULL REFERENCES covers (id),
  building_id TEXT    NOT NULL REFERENCES buildings (id),
  day         TEXT    NOT NULL CHECK (length(day) = 10),
  by_name     TEXT    NOT NULL,
  in_place    INTEGER CHECK (in_place IN (0, 1)),
  drips       INTEGER CHECK (drips IN (0, 1)),
  port        TEXT    NOT NULL,
  note        TEXT    NOT NULL,
  entered_at  INTEGER NOT NULL,
  recorder_id TEXT    NOT NULL
) STRICT;
CREATE INDEX looks_cover ON looks (cover_id, day);

CREATE TABLE look_places (
  look_id  TEXT    NOT NULL REFERENCES looks (id),
  position INTEGER NOT NULL,
  place    TEXT    NOT NULL,
  as_found TEXT    NOT NULL,
  PRIMARY KEY (look_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE room_readings (
  id          TEXT    NOT NULL PRIMARY KEY,
  room_id     TEXT    NOT NULL REFERENCES rooms (id),
  at          INTEGER NOT NULL,
  temp_c      REAL    NOT NULL,
  rh          REAL,
  dew_point_c REAL,
  by_name     TEXT    NOT NULL,
  entered_at  INTEGER NOT NULL,
  recorder_id TEXT    NOT NULL
) STRICT;
CREATE INDEX room_readings_room ON room_readings (room_id, at);

CREATE TABLE earlier_records (
  id       TEXT    NOT NULL PRIMARY KEY,
  cover_id TEXT    NOT NULL REFERENCES covers (id),
  day      TEXT    NOT NULL CHECK (length(day) = 10),
  answer   TEXT    NOT NULL,
  dried    INTEGER NOT NULL CHECK (dried IN (0, 1)),
  note     TEXT    NOT NULL
) STRICT;
CREATE INDEX earlier_records_cover ON earlier_records (cover_id, day);

CREATE TABLE follow_ups (
  id          TEXT    NOT NULL PRIMARY KEY,
  cover_id    TEXT    NOT NULL REFERENCES covers (id),
  building_id TEXT    NOT NULL REFERENCES buildings (id),
  kind        TEXT    NOT NULL,
  why         TEXT    NOT NULL,
  from_id     TEXT,
  by_day      TEXT    NOT NULL,
  opened_at   INTEGER NOT NULL,
  opener_id   TEXT    NOT NULL,
  closed_by   TEXT,
  closed_at   INTEGER,
  closed_why  TEXT    NOT NULL
) STRICT;
CREATE INDEX follow_ups_cover ON follow_ups (cover_id, opened_at);
CREATE INDEX follow_ups_open ON follow_ups (building_id, by_day, id) WHERE closed_at IS NULL;

CREATE TABLE deferrals (
  id         TEXT    NOT NULL PRIMARY KEY,
  cover_id   TEXT    NOT NULL REFERENCES covers (id),
  due_on     TEXT    NOT NULL,
  until_day  TEXT    NOT NULL CHECK (length(until_day) = 10),
  reason     TEXT    NOT NULL,
  by_id      TEXT    NOT NULL,
  entered_at INTEGER NOT NULL
) STRICT;
CREATE INDEX deferrals_cover ON deferrals (cover_id, entered_at);

-- Hourly air: series holds little-endian float64 pairs (air, dew point), one
-- pair an hour; a missing hour is NaN.
CREATE TABLE climates (
  id           TEXT    NOT NULL PRIMARY KEY,
  building_id  TEXT    NOT NULL REFERENCES buildings (id),
  room_id      TEXT    REFERENCES rooms (id),
  source       TEXT    NOT NULL,
  name         TEXT    NOT NULL,
  start_at     INTEGER,
  utc_offset_h REAL    NOT NULL,
  altitude_m   REAL    NOT NULL,
  hours        INTEGER NOT NULL,
  gaps         TEXT    NOT NULL, -- JSON list of words
  imported_at  INTEGER NOT NULL,
  importer_id  TEXT    NOT NULL,
  sha256       TEXT    NOT NULL,
  series       BLOB    NOT NULL
) STRICT;
CREATE UNIQUE INDEX climates_file ON climates (building_id, COALESCE(room_id, ''), sha256);
CREATE INDEX climates_building ON climates (building_id, imported_at);

-- The whole current score of a cover; its list columns are on covers.
CREATE TABLE scores (
  cover_id TEXT    NOT NULL PRIMARY KEY REFERENCES covers (id),
  at       INTEGER NOT NULL,
  method   TEXT    NOT NULL,
  fit      TEXT    NOT NULL,
  body     TEXT    NOT NULL
) STRICT;

CREATE TABLE score_changes (
  id       INTEGER NOT NULL PRIMARY KEY,
  cover_id TEXT    NOT NULL REFERENCES covers (id),
  at       INTEGER NOT NULL,
  risk     INTEGER NOT NULL,
  p_wet    REAL    NOT NULL,
  due_on   TEXT    NOT NULL,
  action   TEXT    NOT NULL,
  rule     TEXT    NOT NULL,
  cause    TEXT    NOT NULL,
  method   TEXT    NOT NULL,
  fit      TEXT    NOT NULL
) STRICT;
CREATE INDEX score_changes_cover ON score_changes (cover_id, id);

CREATE TABLE users (
  id            TEXT    NOT NULL PRIMARY KEY,
  login         TEXT    NOT NULL,
  login_key     TEXT    NOT NULL, -- the login in lower case
  name          TEXT    NOT NULL,
  role          TEXT    NOT NULL,
  all_buildings INTEGER NOT NULL CHECK (all_buildings IN (0, 1)),
  until_day     TEXT    NOT NULL,
  units         TEXT    NOT NULL,
  disabled      INTEGER NOT NULL CHECK (disabled IN (0, 1)),
  epoch         INTEGER NOT NULL,
  version       INTEGER NOT NULL CHECK (version >= 1),
  created_at    INTEGER NOT NULL,
  last_seen     INTEGER,
  password_hash TEXT    NOT NULL DEFAULT '' -- '' until the person has set one
) STRICT;
CREATE UNIQUE INDEX users_login ON users (login_key);

CREATE TABLE user_buildings (
  user_id     TEXT NOT NULL REFERENCES users (id),
  building_id TEXT NOT NULL REFERENCES buildings (id),
  PRIMARY KEY (user_id, building_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE sessions (
  token_hash TEXT    NOT NULL PRIMARY KEY, -- SHA-256 of the token
  user_id    TEXT    REFERENCES users (id),
  data       BLOB    NOT NULL,
  expires_at INTEGER NOT NULL
) STRICT;
CREATE INDEX sessions_user ON sessions (user_id);
CREATE INDEX sessions_expiry ON sessions (expires_at);

CREATE TABLE one_time_tokens (
  token_hash TEXT    NOT NULL PRIMARY KEY, -- SHA-256 of the token
  kind       TEXT    NOT NULL CHECK (kind IN ('setup', 'reset')),
  user_id    TEXT    REFERENCES users (id),
  expires_at INTEGER NOT NULL,
  used_at    INTEGER
) STRICT;

CREATE TABLE answers (
  user_id      TEXT    NOT NULL,
  idem_key     TEXT    NOT NULL,
  request_hash TEXT    NOT NULL,
  status       INTEGER NOT NULL,
  body         BLOB    NOT NULL,
  at           INTEGER NOT NULL,
  PRIMARY KEY (user_id, idem_key)
) STRICT, WITHOUT ROWID;

CREATE TABLE policy (
  id               INTEGER NOT NULL PRIMARY KEY CHECK (id = 1),
  version          INTEGER NOT NULL CHECK (version >= 1),
  limit_years      REAL    NOT NULL,
  first_look_years REAL    NOT NULL,
  horizon_years    REAL    NOT NULL,
  gauge_error_mm   REAL    NOT NULL,
  wet_year_cost    REAL    NOT NULL,
  threshold_p      REAL,
  look_years       REAL    NOT NULL,
  drive_ref        REAL    NOT NULL,
  round_days       INTEGER NOT NULL
) STRICT;

CREATE TABLE events (
  seq         INTEGER NOT NULL PRIMARY KEY,
  at          INTEGER NOT NULL,
  actor_id    TEXT    NOT NULL,
  act         TEXT    NOT NULL,
  subject     TEXT    NOT NULL,
  of_id       TEXT    NOT NULL,
  building_id TEXT    NOT NULL,
  detail      TEXT    NOT NULL,
  prev        TEXT    NOT NULL,
  hash        TEXT    NOT NULL
) STRICT;
CREATE INDEX events_of ON events (of_id, seq);
CREATE INDEX events_building ON events (building_id, seq);

-- What was recorded stays as it was recorded.
-- +goose StatementBegin
CREATE TRIGGER openings_no_update BEFORE UPDATE ON openings BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER openings_no_delete BEFORE DELETE ON openings BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER opening_places_no_update BEFORE UPDATE ON opening_places BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER opening_places_no_delete BEFORE DELETE ON opening_places BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER thickness_readings_no_update BEFORE UPDATE ON thickness_readings BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER thickness_readings_no_delete BEFORE DELETE ON thickness_readings BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER looks_no_update BEFORE UPDATE ON looks BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER looks_no_delete BEFORE DELETE ON looks BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER look_places_no_update BEFORE UPDATE ON look_places BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER look_places_no_delete BEFORE DELETE ON look_places BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER room_readings_no_update BEFORE UPDATE ON room_readings BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER room_readings_no_delete BEFORE DELETE ON room_readings BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER earlier_records_no_update BEFORE UPDATE ON earlier_records BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER earlier_records_no_delete BEFORE DELETE ON earlier_records BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER deferrals_no_update BEFORE UPDATE ON deferrals BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER deferrals_no_delete BEFORE DELETE ON deferrals BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER events_no_update BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER events_no_delete BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER score_changes_no_update BEFORE UPDATE ON score_changes BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER score_changes_no_delete BEFORE DELETE ON score_changes BEGIN SELECT RAISE(ABORT, 'append-only'); END;
-- +goose StatementEnd
