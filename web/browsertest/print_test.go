package browsertest

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"saltbush/internal/site/sitetest/chromium"
)

// printed is the page that is open as a PDF, on paper of a size in inches.
func printed(v *chromium.Tab, width, height float64) []byte {
	v.T.Helper()
	r, err := chromedp.Call(v.Ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height})
	if err != nil {
		v.T.Fatal(err)
	}
	return r.Data
}

var pageOfPDF = regexp.MustCompile(`/Type\s*/Page\b[^s]`)

func pagesOf(pdf []byte) int { return len(pageOfPDF.FindAll(pdf, -1)) }

// keepPrint keeps a print and pictures of it in the folder SALTBUSH_SHOTS, where that is set.
func keepPrint(v *chromium.Tab, name string, pdf []byte) {
	v.T.Helper()
	dir := os.Getenv("SALTBUSH_SHOTS")
	if dir == "" {
		return
	}
	file := filepath.Join(dir, v.Name+"-"+name+".pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		v.T.Fatal(err)
	}
	pictures := exec.Command("pdftoppm", "-r", "90", "-png", file, strings.TrimSuffix(file, ".pdf"))
	if out, err := pictures.CombinedOutput(); err != nil {
		v.T.Logf("pictures of the print: %v: %s", err, out)
	}
}
