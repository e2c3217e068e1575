-- Selections of covers that people keep under a name.

-- +goose Up
CREATE TABLE saved_views (
  id       TEXT    NOT NULL PRIMARY KEY,
  owner_id TEXT    NOT NULL REFERENCES users (id),
  name     TEXT    NOT NULL CHECK (name <> ''),
  query    TEXT    NOT NULL,
  shared   INTEGER NOT NULL CHECK (shared IN (0, 1))
) STRICT;
CREATE UNIQUE INDEX saved_views_name ON saved_views (owner_id, lower(name));
CREATE INDEX saved_views_shared ON saved_views (lower(name), id) WHERE shared;
