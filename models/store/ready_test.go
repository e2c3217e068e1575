package store

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReady(t *testing.T) {
	tests := []struct {
		name  string
		harm  string // done to the database behind the store's back
		ready bool
	}{
		{"whole", "", true},
		{"a guard is gone", "DROP TRIGGER " + "events_no_update", false},
		{"a table is foreign", "CREATE TABLE foreign_table (a)", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Create(t.Context(), Config{Dir: t.TempDir()})
			require.NoError(t, err)
			t.Cleanup(func() { require.NoError(t, s.Close()) })
			if tt.harm != "" {
				require.NoError(t, s.writer.Exec(tt.harm).Error)
			}
			require.Equal(t, tt.ready, s.Ready(t.Context()) == nil)
		})
	}
}

func TestReadyWithoutFolder(t *testing.T) {
	dir := t.TempDir()
	s, err := Create(t.Context(), Config{Dir: dir})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	require.NoError(t, os.RemoveAll(dir))
	require.Error(t, s.Ready(t.Context()))
}
