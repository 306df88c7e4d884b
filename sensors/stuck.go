package sensors

// watchedFiles notes what the reader is doing while it does it.
type watchedFiles struct {
	files files
	begin func(what string) (end func())
}

func (w *watchedFiles) read(path string) ([]byte, error) {
	defer w.begin("reading " + path)()
	return w.files.read(path)
}

func (w *watchedFiles) write(path, text string) error {
	defer w.begin("writing " + path)()
	return w.files.write(path, text)
}

func (w *watchedFiles) list(path string) ([]string, error) {
	defer w.begin("listing " + path)()
	return w.files.list(path)
}
