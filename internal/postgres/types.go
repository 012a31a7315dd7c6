package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgtype"

	"saltbush/internal/account"
	"saltbush/internal/hike"
)

// registerTypes teaches a connection the values of the domain. The zero time and the zero
// date are stored as null, and null is read as zero. Instants are read in UTC; zones are
// the domain's business.
func registerTypes(_ context.Context, c *pgx.Conn) error {
	m := c.TypeMap()
	m.TryWrapEncodePlanFuncs = append([]pgtype.TryWrapEncodePlanFunc{
		encodeAs(func(t time.Time) nullTime { return nullTime(t) }),
		encodeAs(func(d hike.Date) nullDate { return nullDate(d) }),
		encodeAs(func(h account.Hash) hashBytes { return hashBytes(h) }),
		encodeAs(func(k account.CodeKey) keyBytes { return keyBytes(k) }),
	}, m.TryWrapEncodePlanFuncs...)
	m.TryWrapScanPlanFuncs = append([]pgtype.TryWrapScanPlanFunc{
		scanAs(func(t *time.Time) *nullTime { return (*nullTime)(t) }),
		scanAs(func(d *hike.Date) *nullDate { return (*nullDate)(d) }),
		scanAs(func(h *account.Hash) *hashBytes { return (*hashBytes)(h) }),
		scanAs(func(k *account.CodeKey) *keyBytes { return (*keyBytes)(k) }),
	}, m.TryWrapScanPlanFuncs...)
	return nil
}

// nullTime is a time for columns of instants and of dates.
type nullTime time.Time

// TimestamptzValue is for the driver.
func (t nullTime) TimestamptzValue() (pgtype.Timestamptz, error) {
	return pgtype.Timestamptz{Time: time.Time(t), Valid: !time.Time(t).IsZero()}, nil
}

// ScanTimestamptz is for the driver.
func (t *nullTime) ScanTimestamptz(v pgtype.Timestamptz) error {
	*t = nullTime(v.Time.UTC())
	return nil
}

// DateValue is for the driver.
func (t nullTime) DateValue() (pgtype.Date, error) {
	return pgtype.Date{Time: time.Time(t), Valid: !time.Time(t).IsZero()}, nil
}

// ScanDate is for the driver.
func (t *nullTime) ScanDate(v pgtype.Date) error {
	*t = nullTime(v.Time)
	return nil
}

// nullDate is a date for columns of dates.
type nullDate hike.Date

// DateValue is for the driver.
func (d nullDate) DateValue() (pgtype.Date, error) { return nullTime(hike.Date(d).Time()).DateValue() }

// ScanDate is for the driver.
func (d *nullDate) ScanDate(v pgtype.Date) error {
	*d = nullDate(hike.DateOf(v.Time))
	return nil
}

// hashBytes is the hash of a secret for columns of bytes.
type hashBytes account.Hash

// BytesValue is for the driver.
func (h hashBytes) BytesValue() ([]byte, error) { return h[:], nil }

// ScanBytes is for the driver.
func (h *hashBytes) ScanBytes(b []byte) error {
	hash, err := account.HashFromBytes(b)
	*h = hashBytes(hash)
	return err
}

// keyBytes is the key of a second step for columns of bytes; none is null.
type keyBytes account.CodeKey

// BytesValue is for the driver.
func (k keyBytes) BytesValue() ([]byte, error) { return account.CodeKey(k).Bytes(), nil }

// ScanBytes is for the driver.
func (k *keyBytes) ScanBytes(b []byte) error {
	*k = keyBytes(account.CodeKeyFromBytes(b))
	return nil
}

// encodeAs stores each T as the W that it is turned into.
func encodeAs[T, W any](wrap func(T) W) pgtype.TryWrapEncodePlanFunc {
	return func(v any) (pgtype.WrappedEncodePlanNextSetter, any, bool) {
		t, ok := v.(T)
		if !ok {
			return nil, nil, false
		}
		return &encodePlan[T, W]{wrap: wrap}, wrap(t), true
	}
}

type encodePlan[T, W any] struct {
	wrap func(T) W
	next pgtype.EncodePlan
}

func (p *encodePlan[T, W]) SetNext(next pgtype.EncodePlan) { p.next = next }

func (p *encodePlan[T, W]) Encode(v any, buf []byte) ([]byte, error) {
	return p.next.Encode(p.wrap(v.(T)), buf)
}

// scanAs reads each T through the W that wraps it.
func scanAs[T, W any](wrap func(*T) *W) pgtype.TryWrapScanPlanFunc {
	return func(target any) (pgtype.WrappedScanPlanNextSetter, any, bool) {
		t, ok := target.(*T)
		if !ok {
			return nil, nil, false
		}
		return &scanPlan[T, W]{wrap: wrap}, wrap(t), true
	}
}

type scanPlan[T, W any] struct {
	wrap func(*T) *W
	next pgtype.ScanPlan
}

func (p *scanPlan[T, W]) SetNext(next pgtype.ScanPlan) { p.next = next }

func (p *scanPlan[T, W]) Scan(src []byte, target any) error {
	return p.next.Scan(src, p.wrap(target.(*T)))
}
