package preview

import (
	"net/url"
	"path"
	"strings"
)

// find gives the key of the file that a request's path asks for, or the path
// that it should ask for instead, which is the case for a folder without its
// slash: the links of its start page would lead elsewhere. Both are "" when
// there is nothing.
//
// A path that anything between here and the disk could read in two ways is
// nothing: dots as segments, empty segments, a backslash, an encoded slash, a
// control character. Since only the keys of files are ever served, this is the
// second of two bolts.
func find(files map[string][]byte, asked *url.URL) (key, instead string) {
	name, ok := strings.CutPrefix(asked.Path, "/")
	if !ok || strings.Contains(strings.ToLower(asked.EscapedPath()), "%2f") {
		return "", ""
	}
	for _, c := range name {
		if c < ' ' || c == 0x7f || c == '\\' {
			return "", ""
		}
	}
	folder, isFolder := strings.CutSuffix(name, "/")
	if name != "" && (folder == "" || path.Clean("/"+folder) != "/"+folder) {
		return "", ""
	}
	if name == "" || isFolder {
		name += "index.html"
		if _, ok := files[name]; ok {
			return name, ""
		}
		return "", ""
	}
	if _, ok := files[name]; ok {
		return name, ""
	}
	if _, ok := files[name+"/index.html"]; ok {
		return "", (&url.URL{Path: "/" + name + "/", RawQuery: asked.Query().Encode()}).String()
	}
	return "", ""
}

// types holds what each kind of published file is sent as. The operating
// system's own table is not asked: on some systems other programs change it.
// Sources: IANA media types registry; RFC 9239 for JavaScript, RFC 8081 for
// fonts, RFC 4180 for CSV. For .wav the registry has nothing but vendor names:
// audio/wav is what the WHATWG MIME Sniffing standard, 4.7, counts as a sound.
var types = map[string]string{
	".css":   "text/css; charset=utf-8",
	".csv":   "text/csv; charset=utf-8",
	".html":  "text/html; charset=utf-8",
	".ico":   "image/x-icon",
	".jpg":   "image/jpeg",
	".js":    "text/javascript; charset=utf-8",
	".json":  "application/json",
	".otf":   "font/otf",
	".pdf":   "application/pdf",
	".png":   "image/png",
	".svg":   "image/svg+xml",
	".txt":   "text/plain; charset=utf-8",
	".wav":   "audio/wav",
	".webp":  "image/webp",
	".woff":  "font/woff",
	".woff2": "font/woff2",
	".xml":   "application/xml",
}

// typeOf gives the media type for a file's name.
func typeOf(name string) string {
	if t, ok := types[strings.ToLower(path.Ext(name))]; ok {
		return t
	}
	return "application/octet-stream"
}

// isPage says whether a file is a page, into which the reload script is put.
func isPage(name string) bool { return strings.EqualFold(path.Ext(name), ".html") }
