package aside

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

type content struct{ Reading string }

func saved(t *testing.T) (*File, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "r.wring.MIC-014.entry")
	f := At(path)
	if err := f.Save(content{"2.501"}); err != nil {
		t.Fatal(err)
	}
	return f, path
}

func TestWhatWasSavedIsReadByTheNextProcess(t *testing.T) {
	_, path := saved(t)
	var got content
	if there, err := At(path).Read(&got); !there || err != nil || got.Reading != "2.501" {
		t.Errorf("%v, %v, %+v", there, err, got)
	}
	if there, err := At(path + "x").Read(&got); there || err != nil {
		t.Errorf("no file: %v, %v", there, err)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("others may read it: %v, %v", info.Mode(), err)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); len(left) != 1 {
		t.Errorf("more than the file lies there: %v", left)
	}
}

// The bytes of form 1, fixed: a later program must read them.
func TestFormOneIsWhatIsWrittenAbove(t *testing.T) {
	_, path := saved(t)
	data, err := os.ReadFile(path)
	want := "wring entry 1\nsha256 e721a57ae9c064fe2a115e020f84602192efdd679dd26af990a04e8787336911\n{\"Reading\":\"2.501\"}"
	if err != nil || string(data) != want {
		t.Errorf("%v\n%s", err, data)
	}
}

func TestWhatCannotBeReadIsSaidAndPutAway(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           error
	}{
		{"a digit changed", "2.501", "2.601", errDamaged},
		{"cut short", "}", "", errDamaged},
		{"checksum gone", "sha256", "sha", errDamaged},
		{"newer", "entry 1", "entry 2", errNewer},
		{"version of words", "entry 1", "entry one", errForeign},
		{"of another program", "wring", "bring", errForeign},
	} {
		_, path := saved(t)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		bad := strings.Replace(string(data), c.old, c.new, 1)
		if err := os.WriteFile(path, []byte(bad), 0o600); err != nil {
			t.Fatal(err)
		}
		f := At(path)
		var got content
		if there, err := f.Read(&got); there || !errors.Is(err, c.want) {
			t.Errorf("%s: %v, %v", c.name, there, err)
		}
		name, err := f.PutAway()
		if kept, _ := os.ReadFile(name); err != nil || string(kept) != bad {
			t.Errorf("%s: put away as %q: %v", c.name, name, err)
		}
		if err := f.Save(content{"x"}); err != nil {
			t.Errorf("%s: a new one after it: %v", c.name, err)
		}
	}
}

func TestAnotherProcessIsNotWrittenOver(t *testing.T) {
	mine, path := saved(t)
	theirs := At(path)
	var got content
	if _, err := theirs.Read(&got); err != nil {
		t.Fatal(err)
	}
	if err := theirs.Save(content{"2.502"}); err != nil {
		t.Fatal(err)
	}
	if err := mine.Save(content{"2.503"}); !errors.Is(err, ErrTaken) {
		t.Errorf("saved over it: %v", err)
	}
	if err := mine.Remove(); !errors.Is(err, ErrTaken) {
		t.Errorf("removed it: %v", err)
	}
	if err := theirs.Remove(); err != nil {
		t.Error(err)
	}
	if err := theirs.Save(content{"2.504"}); err != nil {
		t.Errorf("begun anew: %v", err)
	}
}

func TestAFolderOrALinkInItsPlaceIsNoEntry(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "e")
	if err := os.Mkdir(path, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(path, path+"2"); err != nil {
		t.Skipf("no symbolic links here: %v", err)
	}
	for _, name := range []string{path, path + "2"} {
		if there, err := At(name).Read(&content{}); there || !errors.Is(err, errForeign) {
			t.Errorf("%s: %v, %v", name, there, err)
		}
	}
}

func FuzzNothingReadsAsWhatItIsNot(f *testing.F) {
	f.Add([]byte("wring entry 1\nsha256 \n{}"))
	f.Add([]byte("wring entry 2\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		content, err := open(data)
		if err == nil && !strings.HasSuffix(string(data), string(content)) {
			t.Errorf("%q", data)
		}
	})
}
