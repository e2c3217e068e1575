package store

import (
	"context"
	"fmt"
	"reflect"
	"time"

	"gorm.io/gorm/schema"
)

// Rows have the fields of the models types in the same order, so that Go
// converts between them and a new field in models does not compile until it
// has its column here. Two sorts of field need another form in the table.

// registerSerializers makes them known to gorm; doing it again changes nothing.
func registerSerializers() {
	schema.RegisterSerializer("millis", millis{})
	schema.RegisterSerializer("null", nullText{})
}

// millis keeps an instant as milliseconds since 1970 UTC, the zero time as
// NULL: both engines sort and compare it the same way.
type millis struct{}

// Scan reads the column.
func (millis) Scan(ctx context.Context, f *schema.Field, dst reflect.Value, v any) error {
	var at time.Time
	switch v := v.(type) {
	case nil:
	case int64:
		at = time.UnixMilli(v).UTC()
	default:
		return fmt.Errorf("column %s: %T is no instant", f.DBName, v)
	}
	f.ReflectValueOf(ctx, dst).Set(reflect.ValueOf(at))
	return nil
}

// Value writes the column.
func (millis) Value(_ context.Context, f *schema.Field, _ reflect.Value, v any) (any, error) {
	at, ok := v.(time.Time)
	if !ok {
		return nil, fmt.Errorf("column %s: %T is no instant", f.DBName, v)
	}
	return toMillis(at), nil
}

// toMillis is the column's value of an instant: nil for the zero time.
func toMillis(at time.Time) any {
	if at.IsZero() {
		return nil
	}
	return at.UnixMilli()
}

// nullText keeps an empty text as NULL, so that a foreign key can be absent.
type nullText struct{}

// Scan reads the column.
func (nullText) Scan(ctx context.Context, f *schema.Field, dst reflect.Value, v any) error {
	s := ""
	switch v := v.(type) {
	case nil:
	case string:
		s = v
	case []byte:
		s = string(v)
	default:
		return fmt.Errorf("column %s: %T is no text", f.DBName, v)
	}
	f.ReflectValueOf(ctx, dst).SetString(s)
	return nil
}

// Value writes the column.
func (nullText) Value(_ context.Context, _ *schema.Field, _ reflect.Value, v any) (any, error) {
	if s := reflect.ValueOf(v).String(); s != "" {
		return s, nil
	}
	return nil, nil
}
