package team_test

import (
	"os"
	"testing"

	"saltbush/internal/site/sitetest"
)

func TestMain(m *testing.M) { os.Exit(sitetest.Main(m)) }
