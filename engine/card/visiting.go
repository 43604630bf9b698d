package card

import (
	"fmt"
	"net/url"
	"strings"
)

// longestWeb is the length, in bytes, up to which an address makes a code that
// a telephone still reads when it is printed as small as on a sheet.
const longestWeb = 120

// optional reads what a house may say for its visitors.
func (f *file) optional(h *House, d field) {
	to := map[string]*string{"address": &h.Address, "open": &h.Open, "web": &h.Web}[d.key]
	if !f.want(d, text) {
		return
	}
	if *to = strings.TrimSpace(d.value.text); *to == "" {
		f.add(d.value.offset, "value", fmt.Sprintf("%s is empty", d.key), "write it between the quotes, or take the key out")
		return
	}
	if d.key == "web" {
		f.webAddress(d, *to)
	}
}

// webAddress reports what is no address of pages.
func (f *file) webAddress(d field, address string) {
	u, err := url.Parse(address)
	switch {
	case err != nil, u.Scheme != "https" && u.Scheme != "http", u.Host == "", u.User != nil, strings.ContainsAny(address, " \t\n\""):
		f.add(d.value.offset, "value", fmt.Sprintf("%q is no address of a page", address), `write it as web = "https://example.org/visit"`)
	case len(address) > longestWeb:
		f.add(d.value.offset, "value", fmt.Sprintf("the address has %d bytes, and the code to scan would be too fine", len(address)),
			fmt.Sprintf("give one of at most %d, such as that of the first page", longestWeb))
	}
}
