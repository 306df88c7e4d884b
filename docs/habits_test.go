package docs_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"go.yaml.in/yaml/v2"

	"sunstoker/docs/pagetest"
)

// TestIssueFormsAreForms: what a site that shows them needs, and a name for every question.
func TestIssueFormsAreForms(t *testing.T) {
	files, err := filepath.Glob("../.github/ISSUE_TEMPLATE/*.yml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d forms: %v", len(files), err)
	}
	for _, path := range files {
		var form struct {
			Name, Description, Title string
			Labels                   []string
			Blank                    *bool `yaml:"blank_issues_enabled"`
			Body                     []struct {
				Type, ID    string
				Attributes  struct{ Label, Description, Value, Render string }
				Validations struct{ Required bool }
			}
		}
		if err := yaml.UnmarshalStrict([]byte(pagetest.Read(t, path)), &form); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		if filepath.Base(path) == "config.yml" {
			if form.Blank == nil {
				t.Errorf("%s does not say whether an issue may go without a form", path)
			}
			continue
		}
		if form.Name == "" || form.Description == "" || len(form.Body) < 3 {
			t.Errorf("%s has no name, no description or nothing to ask", path)
		}
		known, required := map[string]bool{}, 0
		for _, b := range form.Body {
			if b.Type == "markdown" {
				continue
			}
			if b.ID == "" || known[b.ID] || b.Attributes.Label == "" {
				t.Errorf("%s: a question without a label, or an id of its own: %+v", path, b)
			}
			known[b.ID] = true
			if b.Validations.Required {
				required++
			}
		}
		if required == 0 {
			t.Errorf("%s must be told nothing", path)
		}
	}
}

// TestTheReleaseLooksBeforeItTags, in a repository of its own.
func TestTheReleaseLooksBeforeItTags(t *testing.T) {
	const ready = "# Changes\n\n## Unreleased\n\n## 1.2.0, 2026-12-01\n\n- A thing that people notice.\n\n## 1.1.0, 2026-10-01\n\n- Older.\n"
	for name, c := range map[string]struct {
		changes, version, says string
		dirty                  bool
	}{
		"all is ready":           {ready, "v1.2.0", "ready for v1.2.0, after v1.1.0. What will be told of it:\n\n- A thing that people notice.", false},
		"no version":             {ready, "1.2", `"1.2" is no version`, false},
		"changes in no commit":   {ready, "v1.2.0", "in no commit", true},
		"a tag that is there":    {ready, "v1.1.0", "there is a tag v1.1.0 already", false},
		"a version that is past": {strings.ReplaceAll(ready, "1.2.0", "1.0.9"), "v1.0.9", "v1.0.9 comes before v1.1.0", false},
		"not told":               {ready, "v1.3.0", `no heading "## 1.3.0, "`, false},
		"nothing told":           {strings.Replace(ready, "- A thing that people notice.\n", "", 1), "v1.2.0", "says nothing", false},
		"left unreleased":        {strings.Replace(ready, "Unreleased\n", "Unreleased\n- One more.\n", 1), "v1.2.0", "still has lines", false},
	} {
		t.Run(name, func(t *testing.T) {
			in := repository(t, c.changes)
			if c.dirty {
				in("touch", "left.txt")
			}
			if out := in("deploy/package/release", "check", c.version); !strings.Contains(out, c.says) {
				t.Errorf("it says\n%s\nand not %q", out, c.says)
			}
			if tags := in("git", "tag"); tags != "v1.1.0\n" {
				t.Errorf("after a look there are the tags %q", tags)
			}
		})
	}
}

// TestTheReleaseTagsWhatIsWhole: packages of another version, or with other sums, take
// the tag back. Making them is played.
func TestTheReleaseTagsWhatIsWhole(t *testing.T) {
	const changes = "# Changes\n\n## 1.2.0, 2026-12-01\n\n- A thing that people notice.\n"
	for name, c := range map[string]struct {
		version, sums string
		whole         bool
	}{
		"all is well":         {"1.2.0-1", "sha256sum a.deb >SHA256SUMS", true},
		"another version":     {"1.1.0-1", "sha256sum a.deb >SHA256SUMS", false},
		"sums that are wrong": {"1.2.0-1", "echo other | sha256sum | sed s/-/a.deb/ >SHA256SUMS", false},
		"no packages":         {"1.2.0-1", "exit 1", false},
	} {
		t.Run(name, func(t *testing.T) {
			in := repository(t, changes)
			tools := t.TempDir()
			write(t, filepath.Join(tools, "make"), "#!/bin/sh\nset -e\nmkdir -p build/package\ncd build/package\necho package >a.deb\n"+c.sums+"\n", 0o755)
			write(t, filepath.Join(tools, "dpkg-deb"), "#!/bin/sh\necho "+c.version+"\n", 0o755)
			t.Setenv("PATH", tools+":"+os.Getenv("PATH"))
			out := in("deploy/package/release", "make", "v1.2.0")
			if tagged := in("git", "tag") == "v1.1.0\nv1.2.0\n"; tagged != c.whole {
				t.Errorf("tagged: %v\n%s", tagged, out)
			}
			if told := in("cat", "build/package/CHANGES.md"); c.whole && told != "\n- A thing that people notice.\n" {
				t.Errorf("it tells %q", told)
			}
		})
	}
}

// repository holds the script and what changed, and has had a release before. What
// it gives runs a command there.
func repository(t *testing.T, changes string) (in func(name string, args ...string) string) {
	t.Helper()
	folder := t.TempDir()
	write(t, filepath.Join(folder, "deploy/package/release"), pagetest.Read(t, "../deploy/package/release"), 0o755)
	write(t, filepath.Join(folder, "CHANGELOG.md"), changes, 0o644)
	write(t, filepath.Join(folder, ".gitignore"), "/build/\n", 0o644)
	in = func(name string, args ...string) string {
		cmd := exec.Command(name, args...)
		cmd.Dir = folder
		cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL=/dev/null", "GIT_AUTHOR_NAME=a", "GIT_AUTHOR_EMAIL=a@house.example", "GIT_COMMITTER_NAME=a", "GIT_COMMITTER_EMAIL=a@house.example")
		out, _ := cmd.CombinedOutput() // what it says is looked at
		return string(out)
	}
	in("git", "init", "-q")
	in("git", "add", "-A")
	in("git", "commit", "-q", "-m", "all")
	in("git", "tag", "v1.1.0")
	return in
}

func write(t *testing.T, path, text string, mode os.FileMode) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), mode); err != nil {
		t.Fatal(err)
	}
}

// TestContributorsAreToldAll that DEVELOPERS.md is to say of contributing.
func TestContributorsAreToldAll(t *testing.T) {
	page := pagetest.Read(t, "../DEVELOPERS.md")
	_, part, found := strings.Cut(page, "\n## Contributing\n")
	if !found {
		t.Fatal("DEVELOPERS.md has no part on contributing")
	}
	part, _, _ = strings.Cut(part, "\n## ")
	for _, want := range []string{"SAFETY.md", "CHANGELOG.md", "make test", ".ci/run", "LICENSE", "ISSUE_TEMPLATE", "make release-check"} {
		if !strings.Contains(part, want) {
			t.Errorf("the part on contributing does not tell of %s", want)
		}
	}
}
