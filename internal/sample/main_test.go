package sample_test

import (
	"os"
	"testing"

	"saltbush/internal/localpg/pgtest"
)

func TestMain(m *testing.M) { os.Exit(pgtest.Main(m)) }
