package ui

import "headroom/ui/internal/parcel"

// Share is work for this same program in a thread beside the page. It holds one of its kinds.
type Share struct {
	Find *FindOrder
	Log  *LogOrder
}

// Bytes is the share as it crosses to the thread.
func (s *Share) Bytes() []byte { return parcel.Pack(*s) }

// ReadShare reads what Bytes wrote.
func ReadShare(b []byte) (s Share, err error) {
	err = parcel.Unpack(b, &s)
	return s, err
}
