package site

// checkHistory gives the history its folder, and holds its two lengths against
// each other.
func (w *walker) checkHistory() {
	h := &w.site.History
	if h.Folder == "" {
		h.Folder = w.site.StateFolder
	}
	if w.sound["history.keep_minutes"] && w.sound["history.keep_all"] && h.MinutesFor > h.AllFor {
		w.wrong("history.keep_minutes", w.at("history.keep_minutes"), "minutes are to be kept for longer than all the rest", "write less than keep_all, or a longer keep_all")
	}
}
