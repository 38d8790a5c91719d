package html

import (
	"encoding/base64"

	"example.org/wring/certs"
)

// files puts what travels in the document at the end of the page, each as a link
// that holds it; pictures that every browser draws are shown besides.
func (w *writer) files(list []certs.File) {
	if len(list) == 0 {
		return
	}
	w.put(`<section id="files">` + "\n<h2>Files in this page</h2>\n<ul>\n")
	for _, f := range list {
		at := "data:" + f.Media + ";base64," + base64.StdEncoding.EncodeToString(f.Data)
		w.put(`<li><a download="%s" href="%s">%s</a>`, escape(f.Name), escape(at), escape(f.Name))
		if f.About != "" {
			w.put(", %s", escape(f.About))
		}
		if f.Media == "image/png" || f.Media == "image/jpeg" {
			w.put(`<br/><img class="kept" src="%s" alt="%s"/>`, escape(at), escape(f.Name))
		}
		w.put("</li>\n")
	}
	w.put("</ul>\n</section>\n")
}
