package store

import (
	"context"
	"strings"
	"time"

	"drylag/models"
)

type userRow struct {
	ID           models.ID `gorm:"primaryKey"`
	Login        string
	Name         string
	Role         models.Role
	AllBuildings bool
	Buildings    []models.ID `gorm:"-"`
	Until        models.Date `gorm:"column:until_day"`
	Units        string
	Disabled     bool
	Epoch        int
	Version      int
	CreatedAt    time.Time `gorm:"serializer:millis;autoCreateTime:false"`
	LastSeen     time.Time `gorm:"serializer:millis"`
}

type userRecord struct {
	Row      userRow `gorm:"embedded"`
	LoginKey string
}

// TableName is the table of these rows.
func (userRecord) TableName() string { return "users" }

type userBuildingRow struct {
	UserID     models.ID `gorm:"primaryKey"`
	BuildingID models.ID `gorm:"primaryKey"`
}

// TableName is the table of these rows.
func (userBuildingRow) TableName() string { return "user_buildings" }

// Users gives every account by name.
func (r Reader) Users(ctx context.Context) ([]models.User, error) {
	return r.users(ctx, "1 = 1")
}

// User gives one account, Missing if there is none.
func (r Reader) User(ctx context.Context, id models.ID) (models.User, error) {
	return one(r.users(ctx, "id = ?", id))("account")
}

// UserByLogin gives the account with this log-in name, in any case, and the
// stored form of its password ("" where none is set yet).
func (r Reader) UserByLogin(ctx context.Context, login string) (models.User, string, error) {
	u, err := one(r.users(ctx, "login_key = ?", loginKey(login)))("account")
	if err != nil {
		return u, "", err
	}
	hash, err := r.PasswordHash(ctx, u.ID)
	return u, hash, err
}

// PasswordHash gives the stored form of an account's password.
func (r Reader) PasswordHash(ctx context.Context, id models.ID) (string, error) {
	var hashes []string
	err := r.on(ctx).Raw("SELECT password_hash FROM users WHERE id = ?", id).Scan(&hashes).Error
	return one(hashes, storeError("account", err))("account")
}

// Admins counts the administrators who are not disabled.
func (r Reader) Admins(ctx context.Context) (int, error) {
	var n int
	err := r.on(ctx).Raw("SELECT COUNT(*) FROM users WHERE role = ? AND NOT disabled", models.Admin).Scan(&n).Error
	return n, storeError("account", err)
}

// users loads accounts with their buildings in two queries.
func (r Reader) users(ctx context.Context, where string, args ...any) ([]models.User, error) {
	var rows []userRecord
	if err := r.on(ctx).Where(where, args...).Order("lower(name), id").Find(&rows).Error; err != nil {
		return nil, storeError("account", err)
	}
	list := make([]models.User, len(rows))
	at := make(map[models.ID]*models.User, len(rows))
	for i, row := range rows {
		list[i] = models.User(row.Row)
		at[list[i].ID] = &list[i]
	}
	q := r.on(ctx)
	if len(list) == 1 {
		q = q.Where("user_id = ?", list[0].ID)
	}
	var access []userBuildingRow
	if err := q.Order("user_id, building_id").Find(&access).Error; err != nil {
		return nil, storeError("account", err)
	}
	for _, a := range access {
		if u := at[a.UserID]; u != nil {
			u.Buildings = append(u.Buildings, a.BuildingID)
		}
	}
	return list, nil
}

func loginKey(login string) string { return strings.ToLower(strings.TrimSpace(login)) }

// PutUser writes an account and its buildings, not its password; versions as
// in PutBuilding. A log-in name that another account has, in any case, is
// Conflict.
func (t *Tx) PutUser(ctx context.Context, u models.User) (models.User, error) {
	row := userRecord{Row: userRow(u), LoginKey: loginKey(u.Login)}
	if err := t.put(ctx, "account", &row, u.ID, &row.Row.Version); err != nil {
		return u, err
	}
	if err := t.on(ctx).Exec("DELETE FROM user_buildings WHERE user_id = ?", u.ID).Error; err != nil {
		return u, storeError("account", err)
	}
	for _, b := range u.Buildings {
		if err := t.on(ctx).Create(&userBuildingRow{u.ID, b}).Error; err != nil {
			return u, storeError("account", err)
		}
	}
	return models.User(row.Row), nil
}

// SetPassword stores a password's hash and raises the account's epoch, which
// ends its sessions.
func (t *Tx) SetPassword(ctx context.Context, user models.ID, hash string) error {
	return t.touchUser(ctx, "UPDATE users SET password_hash = ?, epoch = epoch + 1, version = version + 1 WHERE id = ?", hash, user)
}

// SetUnits stores which units a person sees.
func (t *Tx) SetUnits(ctx context.Context, user models.ID, units string) error {
	return t.touchUser(ctx, "UPDATE users SET units = ?, version = version + 1 WHERE id = ?", units, user)
}

// SetLastSeen stores when a person last used the service. It is no edit.
func (t *Tx) SetLastSeen(ctx context.Context, user models.ID, at time.Time) error {
	return t.touchUser(ctx, "UPDATE users SET last_seen = ? WHERE id = ?", toMillis(at), user)
}

// RaiseEpoch ends every session of an account.
func (t *Tx) RaiseEpoch(ctx context.Context, user models.ID) error {
	return t.touchUser(ctx, "UPDATE users SET epoch = epoch + 1, version = version + 1 WHERE id = ?", user)
}

func (t *Tx) touchUser(ctx context.Context, sql string, args ...any) error {
	res := t.on(ctx).Exec(sql, args...)
	if res.Error == nil && res.RowsAffected == 0 {
		return missing("account")
	}
	return storeError("account", res.Error)
}
