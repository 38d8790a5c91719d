package main

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A browser is a Chromium without a window, spoken to over two pipes: each
// message is JSON and ends with a zero byte (Chrome DevTools Protocol; memory).
type browser struct {
	t       *testing.T
	to      io.Writer
	from    *bufio.Reader
	session string
	sent    int
	events  []protocolMessage // since the last [browser.open]
}

type protocolMessage struct {
	ID        int             `json:"id,omitempty"`
	SessionID string          `json:"sessionId,omitempty"`
	Method    string          `json:"method,omitempty"`
	Params    any             `json:"params,omitempty"`
	Result    json.RawMessage `json:"result,omitempty"`
	Error     json.RawMessage `json:"error,omitempty"`
}

// startBrowser starts it with one empty page, and ends it with the test.
func startBrowser(t *testing.T) *browser {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("chromium is not installed; want it to open the pages")
	}
	theirIn, in, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	out, theirOut, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	said := &bytes.Buffer{}
	c := exec.Command(program, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--disable-dev-shm-usage", "--user-data-dir="+t.TempDir(), "--remote-debugging-pipe")
	c.ExtraFiles, c.Stderr = []*os.File{theirIn, theirOut}, said // its 3 and 4
	if err := c.Start(); err != nil {
		t.Skipf("chromium does not start here: %v", err)
	}
	_, _ = theirIn.Close(), theirOut.Close()
	const patience = 3 * time.Minute // of the whole test: a browser that hangs must not
	late := time.AfterFunc(patience, func() { c.Process.Kill() })
	b := &browser{t: t, to: in, from: bufio.NewReader(out)}
	t.Cleanup(func() {
		if b.session != "" {
			_ = b.send("Browser.close", nil, "")
		}
		_, _ = in.Close(), out.Close()
		_ = c.Wait()
		late.Stop()
		if t.Failed() && b.session == "" {
			t.Log(said)
		}
	})
	var target struct{ TargetID, SessionID string }
	b.ask(&target, "Target.createTarget", map[string]any{"url": "about:blank"})
	b.ask(&target, "Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true})
	b.session = target.SessionID
	for _, what := range []string{"Page", "Network", "Runtime", "Accessibility"} {
		b.ask(nil, what+".enable", nil)
	}
	return b
}

func (b *browser) send(method string, params any, session string) error {
	b.sent++
	data, err := json.Marshal(protocolMessage{ID: b.sent, SessionID: session, Method: method, Params: params})
	if err == nil {
		_, err = b.to.Write(append(data, 0))
	}
	return err
}

// next reads one message.
func (b *browser) next() (m protocolMessage) {
	b.t.Helper()
	data, err := b.from.ReadBytes(0)
	if err == nil {
		err = json.Unmarshal(data[:len(data)-1], &m)
	}
	if err != nil {
		b.t.Fatalf("the browser went away: %v", err)
	}
	return m
}

// ask sends a command and waits for what comes of it.
func (b *browser) ask(answer any, method string, params any) {
	b.t.Helper()
	if err := b.send(method, params, b.session); err != nil {
		b.t.Fatal(err)
	}
	for {
		m := b.next()
		switch {
		case m.Method != "":
			b.events = append(b.events, m)
		case m.ID != b.sent:
		case m.Error != nil:
			b.t.Fatalf("%s: %s", method, m.Error)
		default:
			if answer != nil {
				if err := json.Unmarshal(m.Result, answer); err != nil {
					b.t.Fatalf("%s: %v", method, err)
				}
			}
			return
		}
	}
}

// open loads a file in a window of a width, and waits until all of it is there.
func (b *browser) open(file string, width int, scheme string) {
	b.t.Helper()
	b.events = nil
	b.ask(nil, "Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": false})
	b.media("", scheme)
	b.ask(nil, "Page.navigate", map[string]any{"url": (&url.URL{Scheme: "file", Path: file}).String()})
	for !b.had("Page.loadEventFired") {
		b.events = append(b.events, b.next())
	}
}

func (b *browser) media(medium, scheme string) {
	b.t.Helper()
	b.ask(nil, "Emulation.setEmulatedMedia", map[string]any{"media": medium, "features": []map[string]string{{"name": "prefers-color-scheme", "value": scheme}}})
}

func (b *browser) had(method string) bool {
	for _, e := range b.events {
		if e.Method == method {
			return true
		}
	}
	return false
}

// requests are the addresses that the page asked for beyond what it carries,
// itself the first.
func (b *browser) requests() (out []string) {
	for _, e := range b.events {
		if e.Method != "Network.requestWillBeSent" {
			continue
		}
		params, _ := e.Params.(map[string]any)
		request, _ := params["request"].(map[string]any)
		if at := fmt.Sprint(request["url"]); !strings.HasPrefix(at, "data:") {
			out = append(out, at)
		}
	}
	return out
}

// run evaluates a script whose value is of the shape of into.
func (b *browser) run(script string, into any) {
	b.t.Helper()
	var answer struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails json.RawMessage
	}
	b.ask(&answer, "Runtime.evaluate", map[string]any{"expression": script, "returnByValue": true})
	if answer.ExceptionDetails != nil {
		b.t.Fatalf("script: %s", answer.ExceptionDetails)
	}
	if err := json.Unmarshal(answer.Result.Value, into); err != nil {
		b.t.Fatalf("script: %v", err)
	}
}

// press presses a key that writes nothing.
func (b *browser) press(key string, code int) {
	b.t.Helper()
	for _, kind := range []string{"rawKeyDown", "keyUp"} {
		b.ask(nil, "Input.dispatchKeyEvent", map[string]any{"type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code})
	}
}

// keepPicture writes what the window shows, the whole length of the page, and
// the page as printed, into the folder WRING_PICTURES, for who wants to look.
func (b *browser) keepPicture(name string) {
	b.t.Helper()
	folder := os.Getenv("WRING_PICTURES")
	if folder == "" {
		return
	}
	method, params := "Page.captureScreenshot", map[string]any{"captureBeyondViewport": true, "format": "png"}
	if strings.HasSuffix(name, ".pdf") {
		method, params = "Page.printToPDF", map[string]any{"preferCSSPageSize": true, "printBackground": false}
	}
	var picture struct{ Data string }
	b.ask(&picture, method, params)
	data, err := base64.StdEncoding.DecodeString(picture.Data)
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, name), data, 0o666)
	}
	if err != nil {
		b.t.Fatal(err)
	}
}
