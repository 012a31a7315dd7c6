package chromium

import (
	"encoding/json"
	"fmt"
)

// fontSet says how wide letters are: their mean advance in fontSample, in em.
type fontSet struct {
	Name string  `json:"name"`
	Sans float64 `json:"sans"` // of running text
	Bold float64 `json:"bold"` // of running text that is bold
	Slab float64 `json:"slab"` // of headings and figures, which are bold
}

// fontSets are the widest and the narrowest letters that every page must stand. The fonts'
// own files give 0.505, 0.570 and 0.564 for DejaVu Sans, its bold and DejaVu Serif Bold, the
// widest that systems come with; letters that are rounded to whole pixels are up to 6 %
// wider. Liberation Sans Narrow has 0.359, its bold 0.382, and Liberation Serif Bold 0.422.
func fontSets() []fontSet {
	return []fontSet{
		{Name: "wide", Sans: 0.54, Bold: 0.605, Slab: 0.6},
		{Name: "narrow", Sans: 0.36, Bold: 0.38, Slab: 0.42},
	}
}

const fontSample = "Bring three litres of water to the trailhead at 06:30 " +
	"and tell the leader who drives you home. 0123456789"

// localFonts are fonts of which a machine has at least one. A fresh Debian has DejaVu with
// Chromium. Whichever it is, its letters are stretched to the widths of a set, so that a page
// fits on all machines or on none.
func localFonts() []string {
	return []string{
		"DejaVu Sans", "Bitstream Vera Sans", "Verdana", "Liberation Sans", "Arial", "Arimo", "Noto Sans", "Roboto",
		"FreeSans", "Nimbus Sans", "Helvetica",
	}
}

// sticksOut evaluates to the first elements that make the page wider than the screen, as a
// text; "" where the page fits.
const sticksOut = `(() => {
	const wide = document.documentElement.clientWidth
	if (document.documentElement.scrollWidth <= wide) return ""
	const out = [...document.body.querySelectorAll("*")].filter(e => e.getBoundingClientRect().right > wide + 0.5)
	const inner = out.filter(e => !out.some(other => other != e && e.contains(other)))
	const name = e => e.tagName.toLowerCase() + [...e.classList].map(c => "." + c).join("")
	const named = inner.slice(0, 3).map(e => name(e) + " " + JSON.stringify(e.textContent.slice(0, 40)))
	return named.join(", ") || "something"
})()`

// inFonts evaluates an expression while the page is drawn in the fonts of a set. The style
// sheet names its fonts in two properties only.
const inFonts = `(async (set, fonts, sample) => {
	const faces = [], root = document.documentElement
	const local = fonts.map(f => "local(" + JSON.stringify(f) + ")").join(", ")
	const add = async (family, more) => {
		const face = await new FontFace(family, local, more).load()
		document.fonts.add(face)
		faces.push(face)
	}
	const advance = family => {
		const pen = document.createElement("canvas").getContext("2d")
		pen.font = "100px " + family
		return pen.measureText(sample).width / 100 / sample.length
	}
	try {
		await add("look-plain", {})
		const stretch = target => 100 * target / advance("look-plain") + "%%"
		await add("look-sans", {weight: "400", sizeAdjust: stretch(set.sans)})
		await add("look-sans", {weight: "700", sizeAdjust: stretch(set.bold)})
		await add("look-slab", {weight: "700", sizeAdjust: stretch(set.slab)})
		root.style.setProperty("--sans", "look-sans")
		root.style.setProperty("--slab", "look-slab")
		return %s
	} finally {
		root.style.removeProperty("--sans")
		root.style.removeProperty("--slab")
		faces.forEach(f => document.fonts.delete(f))
	}
})(%s, %s, %q)`

// Fits fails the test where the page is wider than the screen, in the machine's own fonts, in
// wide ones or in narrow ones.
func (v *Tab) Fits() {
	v.T.Helper()
	v.fits("its own", sticksOut)
	for _, set := range fontSets() {
		v.fits(set.Name, fmt.Sprintf(inFonts, sticksOut, asJSON(set), asJSON(localFonts()), fontSample))
	}
}

func (v *Tab) fits(fonts, script string) {
	v.T.Helper()
	if out := v.Ask(script); out != "" {
		v.T.Errorf("%s, %s fonts: the page is wider than the screen: %s: %s", v.Name, fonts, v.URL(), out)
	}
}

// AskInWideFonts is Ask while the page is drawn in the widest fonts that it must stand.
func (v *Tab) AskInWideFonts(js string) string {
	v.T.Helper()
	return v.Ask(fmt.Sprintf(inFonts, js, asJSON(fontSets()[0]), asJSON(localFonts()), fontSample))
}

func asJSON(value any) string {
	b, err := json.Marshal(value)
	if err != nil {
		panic(err) // the values above are plain
	}
	return string(b)
}
