package main

import (
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// sharePiece is how much of a log a thread reads in one go, between two looks at what the page wants.
const sharePiece = 256 << 10

// readShare reads the whole log that the page has handed over and tells how far it is, then what there is in it.
func readShare(order *ui.LogOrder) error {
	reader, err := order.Reader()
	if err != nil {
		return err
	}
	f, err := fileOfShare()
	if err != nil {
		return err
	}
	told := time.Now()
	var page listener
	for done := 0; done < f.size; {
		page.giveWay()
		piece, err := f.piece(done)
		if err != nil || len(piece) == 0 {
			return tell((&ui.LogNews{Why: ui.FileChanged}).Bytes())
		}
		reader.Feed(piece)
		done += len(piece)
		if now := time.Now(); now.Sub(told) >= telling {
			told = now
			if err := tell((&ui.LogNews{Done: done}).Bytes()); err != nil {
				return err
			}
		}
	}
	ride, failure := reader.Finish()
	return tell((&ui.LogNews{Ride: &ride, Failure: failure}).Bytes())
}

// sharedFile is a file within a thread, where reading may wait.
type sharedFile struct {
	file, reader safejs.Value
	size         int
	buffer       []byte
}

func fileOfShare() (f sharedFile, err error) {
	if f.file, err = safejs.Global().Get("headroomFile"); err != nil {
		return f, err
	}
	if f.size, err = sizeOf(f.file); err != nil {
		return f, err
	}
	makeReader, err := safejs.Global().Get("FileReaderSync")
	if err != nil {
		return f, err
	}
	f.reader, err = makeReader.New()
	return f, err
}

// piece is the bytes from a place on; it is overwritten by the next.
func (f *sharedFile) piece(from int) ([]byte, error) {
	slice, err := f.file.Call("slice", from, min(from+sharePiece, f.size))
	if err != nil {
		return nil, err
	}
	content, err := f.reader.Call("readAsArrayBuffer", slice)
	if err != nil {
		return nil, err
	}
	return bytesIn(content, &f.buffer)
}
