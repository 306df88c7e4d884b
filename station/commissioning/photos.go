package commissioning

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"slices"

	"sunstoker/planner/handover"
)

// photosOf looks at files of pictures.
func photosOf(names []string) (photos []handover.Photo, err error) {
	for _, name := range names {
		file, err := os.Open(name)
		if err != nil {
			return nil, fmt.Errorf("%s can't be read: %w; write the name as seen from this folder", name, err)
		}
		sum := sha256.New()
		size, err := io.Copy(sum, file)
		_ = file.Close() // nothing was written
		if err != nil {
			return nil, fmt.Errorf("%s can't be read: %w", name, err)
		}
		photos = append(photos, handover.Photo{File: name, SHA256: hex.EncodeToString(sum.Sum(nil)), Bytes: size})
	}
	return slices.Clip(photos), nil
}
