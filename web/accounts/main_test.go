package accounts_test

import (
	"os"
	"testing"

	"saltbush/internal/site/sitetest"
)

func TestMain(m *testing.M) { os.Exit(sitetest.Main(m)) }

// newPassword is what people of these tests change to.
const newPassword = "copper kettle on the ledge"
