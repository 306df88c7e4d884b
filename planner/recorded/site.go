package recorded

import (
	"embed"
	"os"
	"path/filepath"
	"strconv"

	"sunstoker/site"
)

//go:embed sites
var sites embed.FS

// The invented houses.
const (
	Highland = "highland" // two stores of loop fluid with natural circulation, near the equator
	Winter   = "winter"   // a pumped loop below a pass with hard winters
)

// House writes the site file of one of the invented houses into a folder, with its
// state and history in the same folder, and reads it.
func House(folder, name string) (*site.Site, error) {
	text, err := sites.ReadFile("sites/" + name + ".toml")
	if err != nil {
		return nil, err
	}
	if text, err = site.Edited(text, site.SetKey("daemon", "state_folder", strconv.Quote(folder))); err != nil {
		return nil, err
	}
	path := filepath.Join(folder, name+".toml")
	if err := os.WriteFile(path, text, 0o644); err != nil {
		return nil, err
	}
	return site.Load(path)
}
