package certs_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The checklist names tests and stories that there are.
func TestTheChecklistNamesWhatThereIs(t *testing.T) {
	list, err := os.ReadFile("CHECKLIST.md")
	if err != nil {
		t.Fatal(err)
	}
	var code strings.Builder
	for _, pattern := range []string{"*_test.go", "pdf/*_test.go", "../cmd/wring/*_test.go"} {
		files, _ := filepath.Glob(pattern)
		for _, f := range files {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			code.Write(data)
		}
	}
	names := regexp.MustCompile("`(Test[A-Za-z]+)`").FindAllStringSubmatch(string(list), -1)
	for _, n := range names {
		if !strings.Contains(code.String(), "func "+n[1]+"(") {
			t.Errorf("no test %s", n[1])
		}
	}
	stories := regexp.MustCompile("story `([a-z_]+)`").FindAllStringSubmatch(string(list), -1)
	for _, s := range stories {
		if _, err := os.Stat("../testdata/script/" + s[1] + ".txtar"); err != nil {
			t.Errorf("no story %s", s[1])
		}
	}
	for no := 44; no <= 75; no++ { // every line of the list is answered, once
		if n := strings.Count(string(list), fmt.Sprintf("\n| %d | ", no)); n != 1 {
			t.Errorf("no. %d stands %d times; want once", no, n)
		}
	}
	if len(names) < 15 || len(stories) < 3 {
		t.Errorf("%d tests and %d stories named; want the whole list read", len(names), len(stories))
	}
}
