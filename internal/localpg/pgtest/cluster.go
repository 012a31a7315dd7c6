package pgtest

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"sync"
	"sync/atomic"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"saltbush/internal/localpg"
	"saltbush/internal/postgres"
)

// cluster is a running server with the templates made in it so far.
type cluster struct {
	server    *localpg.Server
	home      *home
	admin     *pgxpool.Pool // makes and drops databases
	count     atomic.Int64
	mu        sync.Mutex
	templates map[origin]*template
}

// origin tells templates apart: what each is a copy of, and the function that filled it.
type origin struct {
	from string
	fill uintptr
}

// template is a filled database, made once.
type template struct {
	once sync.Once
	name string
	err  error
}

// The databases that copies are made of.
const (
	empty  = "template1"
	schema = "template_schema" // of the newest migration; each cluster has it from the start
)

// settings are those of every cluster of tests.
func settings() map[string]string {
	return map[string]string{
		"max_connections": "300", // parallel tests each bring a pool
		"autovacuum":      "off", // would only disturb the copying
		"jit":             "off", // compiling a query takes longer than any query of a test
		// Dropping a table scans all shared buffers.
		"shared_buffers": "32MB",
		// One process fewer at each start.
		"max_logical_replication_workers": "0",
		// Segments of a killed server stay in shared memory, but go with its folder.
		"dynamic_shared_memory_type": "mmap",
	}
}

// start runs a cluster in a folder of its own.
func start(ctx context.Context) (*cluster, error) {
	programs, err := localpg.FindPrograms(os.Getenv)
	if err != nil {
		return nil, err
	}
	h, err := newHome()
	if err != nil {
		return nil, err
	}
	s, err := startIn(ctx, h.dir, programs)
	if err != nil {
		return nil, errors.Join(err, h.remove())
	}
	admin, err := pgxpool.New(ctx, s.DSN("postgres")+" pool_max_conns=4")
	if err != nil {
		return nil, errors.Join(err, s.Stop(), h.remove())
	}
	return &cluster{server: s, home: h, admin: admin, templates: map[origin]*template{}}, nil
}

// startIn starts a cluster in dir on cached data, or on new ones if the server refuses those.
func startIn(ctx context.Context, dir, programs string) (*localpg.Server, error) {
	cached, err := provideData(ctx, dir, programs)
	if err != nil {
		return nil, err
	}
	s, err := localpg.Start(ctx, options(dir, programs))
	if err == nil || cached == nil {
		return s, err
	}
	cached.drop()
	if err := os.RemoveAll(dataIn(dir)); err != nil {
		return nil, err
	}
	if err := makeData(ctx, dir, programs); err != nil {
		return nil, err
	}
	return localpg.Start(ctx, options(dir, programs))
}

func options(dir, programs string) localpg.Options {
	return localpg.Options{Dir: dir, Programs: programs, Volatile: true, Settings: settings()}
}

func dataIn(dir string) string { return filepath.Join(dir, "data") }

// provideData puts the data of a cluster into dir, and returns the cache if they come from
// there. New ones it adds to the cache.
func provideData(ctx context.Context, dir, programs string) (from *cache, err error) {
	c, err := openCache(programs)
	if err != nil {
		return nil, err
	}
	if c.load(dataIn(dir)) == nil {
		return c, nil
	}
	unlock := c.lock()
	defer unlock()
	if c.load(dataIn(dir)) == nil { // another binary made them meanwhile
		return c, nil
	}
	if err := makeData(ctx, dir, programs); err != nil {
		return nil, err
	}
	c.save(dataIn(dir))
	return nil, nil
}

// makeData makes the data of a cluster that has the database schema.
func makeData(ctx context.Context, dir, programs string) (err error) {
	s, err := localpg.Start(ctx, options(dir, programs))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Stop()) }()
	if err := s.CreateDatabase(ctx, schema); err != nil {
		return err
	}
	if err := postgres.Migrate(ctx, s.DSN(schema)); err != nil {
		return err
	}
	c, err := pgx.Connect(ctx, s.DSN("postgres"))
	if err != nil {
		return err
	}
	defer c.Close(ctx)
	_, err = c.Exec(ctx, fmt.Sprintf(closeTemplate, schema))
	return err
}

func (c *cluster) stop() error {
	c.admin.Close()
	return errors.Join(c.server.Stop(), c.home.remove())
}

// Statements with a name put into them. House measurement: a copy of the schema takes 20 ms
// by file_copy and 70 ms by wal_log.
const (
	copyDatabase  = "CREATE DATABASE %s TEMPLATE %s STRATEGY file_copy"
	dropDatabase  = "DROP DATABASE %s WITH (FORCE)"
	closeTemplate = "ALTER DATABASE %s WITH ALLOW_CONNECTIONS false" // nobody in it disturbs a copy
)

// database makes a database for the test of that name: a copy of from that fill has filled.
func (c *cluster) database(ctx context.Context, test, from string, fill Migrate) (name string, err error) {
	if fill != nil {
		if from, err = c.template(ctx, from, fill); err != nil {
			return "", fmt.Errorf("make template database: %w", err)
		}
	}
	name = fmt.Sprintf("t%d_%s", c.count.Add(1), plain(test))
	if err := c.exec(ctx, copyDatabase, name, from); err != nil {
		return "", fmt.Errorf("copy template database: %w", err)
	}
	return name, nil
}

// template returns the name of the copy of from that fill has filled, once.
func (c *cluster) template(ctx context.Context, from string, fill Migrate) (string, error) {
	at := origin{from, reflect.ValueOf(fill).Pointer()}
	c.mu.Lock()
	t := c.templates[at]
	if t == nil {
		t = &template{name: fmt.Sprintf("template_%d_%s", len(c.templates), nameHash(at.fill))}
		c.templates[at] = t
	}
	c.mu.Unlock()
	t.once.Do(func() { t.err = c.prepare(ctx, t.name, from, fill) })
	return t.name, t.err
}

// prepare makes a template and closes it: a copy is refused while anybody is in it.
func (c *cluster) prepare(ctx context.Context, name, from string, fill Migrate) error {
	if err := c.exec(ctx, copyDatabase, name, from); err != nil {
		return err
	}
	if err := fill(ctx, c.server.DSN(name)); err != nil {
		return err
	}
	return c.exec(ctx, closeTemplate, name)
}

// exec runs one statement with the names quoted into it.
func (c *cluster) exec(ctx context.Context, format string, names ...string) error {
	quoted := make([]any, len(names))
	for i, n := range names {
		quoted[i] = pgx.Identifier{n}.Sanitize()
	}
	_, err := c.admin.Exec(ctx, fmt.Sprintf(format, quoted...))
	return err
}

// nameHash tells templates apart in the server's log by the function that made them.
func nameHash(at uintptr) string {
	h := fnv.New32a()
	fmt.Fprint(h, runtime.FuncForPC(at).Name())
	return fmt.Sprintf("%08x", h.Sum32())
}
