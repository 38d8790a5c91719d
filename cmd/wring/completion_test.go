package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// completed is what the program offers for a command line whose last word is
// being typed.
func completed(t *testing.T, path string, words ...string) string {
	t.Helper()
	e, out, errs := deskForTest("")
	e.Getenv = func(name string) string {
		if name == "WRING_REGISTRY" {
			return path
		}
		return ""
	}
	if status := run(append([]string{"wring", completeCommand}, words...), e); status != exitDone || errs.Len() > 0 {
		t.Errorf("%q: status %d, %s", words, status, errs)
	}
	var list []string
	for line := range strings.Lines(out.String()) {
		word, _, _ := strings.Cut(line, "\t")
		list = append(list, word)
	}
	return strings.Join(list, " ")
}

func TestWhatMayFollowIsOffered(t *testing.T) {
	dir, _ := faultShop(t, 0)
	path := filepath.Join(dir, "registry.wring")
	if status, _, said := inside(path, "gauge", "amend", "MIC-014", "--place", "bench 1", "--reason", "moved"); status != exitDone {
		t.Fatal(said)
	}
	for _, c := range []struct {
		typed, want string
	}{
		{"his|", "history"},
		{"gauge s|", "show status"},
		{"check MIC|", "MIC-014"},
		{"check MIC-014 |", ""},
		{"check --standard GB|", "GB-1"},
		{"check MIC-014 --standard GB-1 --standard |", "GB-1 TH-1"},
		{"check MIC-014 --plan=micrometer|", "--plan=micrometer-0-25"},
		{"check --stage |", "as-found as-left"},
		{"check --sheet |", ":files"},
		{"check MIC-014 --sheet x --she|", ""},
		{"check MIC-014 --block-|", "--block-temperature"},
		{"--js|", "--json"},
		{"due --json --js|", ""},
		{"due --place |", "bench 1"},
		{"gauge add |", ""},
		{"gauge status MIC-014 re|", "retired"},
		{"gauge list --kind outside|", "outside-micrometer"},
		{"standard list |", ""},
		{"standard add TH-2 --kind ther|", "thermometer"},
		{"plan show mic|", "micrometer-0-25"},
		{"plan show --preset dial-gauge-1|", "dial-gauge-10"},
		{"trace |", "MIC-014 GB-1 TH-1"},
		{"export |", ":folders"},
		{"completion f|", "fish"},
		{"nonsense |", ""},
		{"--registry nowhere.wring check |", ""},
		{"--registry |", ":files"},
	} {
		words := strings.Split(strings.TrimSuffix(c.typed, "|"), " ")
		if got := completed(t, path, words...); got != c.want {
			t.Errorf("%s offers %q, want %q", c.typed, got, c.want)
		}
	}
}

// A registry that is damaged, held by another, or is none, offers nothing and
// says nothing.
func TestCompletionIsSilentOverATroubledRegistry(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.wring")
	if err := os.WriteFile(file, []byte("not a registry"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := completed(t, file, "check", ""); got != "" {
		t.Errorf("offers %q", got)
	}
}

// Each shell completes at a terminal, as a person would use it: commands,
// options, gauges, plans, standards and values behind a sign of equality.
func TestEachShellCompletes(t *testing.T) {
	for _, shell := range []struct {
		name    string
		command []string
		setUp   []string
	}{
		{"bash", []string{"bash", "--norc", "--noprofile"}, []string{`source <(wring completion bash)`}},
		{"zsh", []string{"zsh", "-f"}, []string{`PROMPT='> '; autoload -Uz compinit; compinit -u -D`, `source <(wring completion zsh)`}},
		{"fish", []string{"fish", "--no-config"}, []string{`function fish_prompt; echo '> '; end; function fish_greeting; end`, `wring completion fish | source`}},
	} {
		t.Run(shell.name, func(t *testing.T) {
			if _, err := exec.LookPath(shell.name); err != nil {
				t.Skipf("%s is not installed; want it for its completion", shell.name)
			}
			dir := t.TempDir()
			p := newPane(t, dir)
			furnishPane(t, p, dir)
			p.enter("HOME=/nonexistent HISTFILE= TERM=screen exec " + strings.Join(shell.command, " "))
			for _, line := range shell.setUp {
				p.enter(line)
			}
			p.enter("echo rea''dy")
			p.sees("ready", 1)
			for _, c := range []struct{ typed, want string }{
				{"wring hist", "wring history"},
				{"wring history MIC", "wring history MIC-014"},
				{"wring check MIC-014 --block-t", "wring check MIC-014 --block-temperature"},
				{"wring check MIC-014 --standard G", "wring check MIC-014 --standard GB-1"},
				{"wring check MIC-014 --plan=sh", "wring check MIC-014 --plan=short"},
				{"wring plan add sho", "wring plan add short.toml"},
			} {
				p.tmux("send-keys", "-l", c.typed)
				p.tmux("send-keys", "Tab")
				p.sees(c.want, 1)
				p.tmux("send-keys", "C-u")
			}
		})
	}
}
