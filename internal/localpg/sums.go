package localpg

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// sumsFile is the file of pinned sums in the cache, in the format of sha256sum.
const sumsFile = "pinned-sums.txt"

// wantedSum returns the sum that the jar must have: the caller's, else the one pinned in the
// cache, else the published one, which is not pinned yet.
func (o FetchOptions) wantedSum(ctx context.Context) (sum string, pinned bool, err error) {
	if sum, ok := o.Sums[o.jarName()]; ok {
		return strings.ToLower(sum), true, nil
	}
	known, err := o.remembered()
	if err != nil {
		return "", false, err
	}
	if sum, ok := known[o.jarName()]; ok {
		return sum, true, nil
	}
	sum, err = o.publishedSum(ctx)
	return sum, false, err
}

// publishedSum fetches the sum published next to the jar. It requires HTTPS, after redirects
// too: over plain HTTP an attacker who changes the jar can change the sum.
func (o FetchOptions) publishedSum(ctx context.Context) (string, error) {
	from := o.jarURL() + ".sha256"
	resp, err := o.get(ctx, from)
	if err != nil {
		return "", err
	}
	defer resp.Body.Close()
	if resp.Request.URL.Scheme != "https" {
		return "", fmt.Errorf("%w: no sum is pinned for %s, and %s is not HTTPS",
			ErrChecksum, o.jarName(), resp.Request.URL)
	}
	b, err := io.ReadAll(io.LimitReader(resp.Body, maxSumFile))
	if err != nil {
		return "", fmt.Errorf("fetch %s: %w", from, err)
	}
	sum, _, _ := strings.Cut(strings.TrimSpace(string(b)), " ")
	if !regexp.MustCompile(`^[0-9a-fA-F]{64}$`).MatchString(sum) {
		return "", fmt.Errorf("%w: %s holds no SHA-256 sum", ErrChecksum, from)
	}
	return strings.ToLower(sum), nil
}

func (o FetchOptions) remembered() (map[string]string, error) {
	b, err := os.ReadFile(filepath.Join(o.CacheDir, sumsFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read pinned sums: %w", err)
	}
	known := map[string]string{}
	for line := range strings.Lines(string(b)) {
		if f := strings.Fields(line); len(f) == 2 {
			known[f[1]] = f[0]
		}
	}
	return known, nil
}

// remember pins a sum that matched, so that later fetches of the jar must match it too.
func (o FetchOptions) remember(sum string) error {
	known, err := o.remembered()
	if err != nil || o.Sums[o.jarName()] != "" || known[o.jarName()] == sum {
		return err
	}
	f, err := os.OpenFile(filepath.Join(o.CacheDir, sumsFile), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		return fmt.Errorf("pin sum: %w", err)
	}
	_, err = fmt.Fprintf(f, "%s  %s\n", sum, o.jarName())
	return errors.Join(err, f.Close())
}
