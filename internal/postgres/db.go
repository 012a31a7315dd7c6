package postgres

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"

	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/migrations"
)

// DB is a pool of connections to one database.
type DB struct {
	pool  *pgxpool.Pool
	plans planCache
	hubs  hubs
	cards card.Keyring
}

// Our judgment: pages, the watcher and the outbox each use a few connections at once.
// PostgreSQL allows a hundred by default, so several instances fit.
const connections = 12

// Open connects to the database and checks that it answers.
func Open(ctx context.Context, dsn string) (*DB, error) {
	config, err := pgxpool.ParseConfig(dsn)
	if err != nil {
		return nil, fmt.Errorf("database address: %w", err)
	}
	config.ConnConfig.RuntimeParams["timezone"] = "UTC"
	config.ConnConfig.RuntimeParams["application_name"] = "saltbush"
	config.AfterConnect = registerTypes
	if !strings.Contains(dsn, "pool_max_conns") {
		config.MaxConns = max(config.MaxConns, connections)
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("open database: %w", err)
	}
	if err := pool.Ping(ctx); err != nil {
		pool.Close()
		return nil, fmt.Errorf("reach database: %w", err)
	}
	return &DB{pool: pool}, nil
}

// Close ends all connections.
func (db *DB) Close() { db.pool.Close() }

// Pool returns the pool, for the session store.
func (db *DB) Pool() *pgxpool.Pool { return db.pool }

// Ping reports whether the database answers.
func (db *DB) Ping(ctx context.Context) error { return db.pool.Ping(ctx) }

// conn is a pool or a transaction.
type conn interface {
	Begin(ctx context.Context) (pgx.Tx, error)
	Exec(ctx context.Context, sql string, args ...any) (pgconn.CommandTag, error)
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
}

// txKey is the key of a transaction on db in a context.
type txKey struct{ db *DB }

// conn returns the transaction of the context, or else the pool.
func (db *DB) conn(ctx context.Context) conn {
	if tx, ok := ctx.Value(txKey{db}).(pgx.Tx); ok {
		return tx
	}
	return db.pool
}

// inTx runs f in a transaction and gives it a context that carries it. Inside another
// transaction it uses a savepoint.
func (db *DB) inTx(ctx context.Context, f func(ctx context.Context) error) error {
	return pgx.BeginFunc(ctx, db.conn(ctx), func(tx pgx.Tx) error {
		return f(context.WithValue(ctx, txKey{db}, tx))
	})
}

// wrapErr adds what failed to an error, and turns "no rows" into fault.ErrNotFound.
func wrapErr(err error, format string, a ...any) error {
	return wrapNone(err, fault.ErrNotFound, format, a...)
}

// wrapNone is wrapErr with another error for "no rows".
func wrapNone(err, none error, format string, a ...any) error {
	if err == nil {
		return nil
	}
	if errors.Is(err, pgx.ErrNoRows) {
		err = none
	}
	return fmt.Errorf("%s: %w", fmt.Sprintf(format, a...), err)
}

// Migrate takes all steps up to the newest schema.
func Migrate(ctx context.Context, dsn string) error {
	return withProvider(dsn, func(p *goose.Provider) error {
		_, err := p.Up(ctx)
		return err
	})
}

// MigrateDown takes every step back and leaves an empty database. All data is lost.
func MigrateDown(ctx context.Context, dsn string) error {
	return withProvider(dsn, func(p *goose.Provider) error {
		_, err := p.DownTo(ctx, 0)
		return err
	})
}

// SchemaVersion returns the last step that was applied and the newest one there is.
func SchemaVersion(ctx context.Context, dsn string) (applied, newest int64, err error) {
	err = withProvider(dsn, func(p *goose.Provider) error {
		applied, newest, err = p.GetVersions(ctx)
		return err
	})
	return applied, newest, err
}

func withProvider(dsn string, do func(*goose.Provider) error) error {
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		return fmt.Errorf("database address: %w", err)
	}
	db := stdlib.OpenDB(*config)
	defer db.Close()
	p, err := goose.NewProvider(goose.DialectPostgres, db, migrations.Files)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	if err := do(p); err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	return nil
}
