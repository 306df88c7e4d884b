package station

import (
	"fmt"

	"sunstoker/site"
	"sunstoker/station/request"
)

// SavedSettings gives a site with the changes of settings in it that people have
// made, as the daemon has saved them last, for a command that looks at an
// installation while the daemon may run. It changes nothing. On an error, which
// says why the changes are not known, now is the site as its file describes it.
func SavedSettings(file *site.Site) (now *site.Site, changes []request.Change, err error) {
	newest, before, _ := stateFiles(file.StateFolder)
	for _, path := range []string{newest, before} {
		data, failed := realDisk{}.read(path, stateSizeLimit)
		if isMissing(failed) {
			continue
		}
		var body *stateBody
		if failed == nil {
			body, failed = decodeState(data)
		}
		if failed == nil {
			b, _ := takeUpBook(file, &body.Settings)
			return b.now, b.changes, nil
		}
		if err == nil {
			err = fmt.Errorf("what was changed of settings since the site file was written can't be read: %w", failed)
		}
	}
	return file, nil, err
}
