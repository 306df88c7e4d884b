package terminal

import "strings"

// blocks are the characters that are drawn large, five rows of three.
var blocks = map[rune][5]string{
	'0': {"###", "# #", "# #", "# #", "###"},
	'1': {" # ", "## ", " # ", " # ", "###"},
	'2': {"###", "  #", "###", "#  ", "###"},
	'3': {"###", "  #", " ##", "  #", "###"},
	'4': {"# #", "# #", "###", "  #", "  #"},
	'5': {"###", "#  ", "###", "  #", "###"},
	'6': {"###", "#  ", "###", "# #", "###"},
	'7': {"###", "  #", "  #", " # ", " # "},
	'8': {"###", "# #", "###", "# #", "###"},
	'9': {"###", "# #", "###", "  #", "###"},
	'-': {"   ", "   ", "###", "   ", "   "},
	'?': {"###", "  #", " ##", "   ", " # "},
	'°': {"###", "# #", "###", "   ", "   "},
	'C': {"###", "#  ", "#  ", "#  ", "###"},
	'O': {" # ", "# #", "# #", "# #", " # "},
	'L': {"#  ", "#  ", "#  ", "#  ", "###"},
	'D': {"## ", "# #", "# #", "# #", "## "},
}

const blockRows, blockColumns = 5, 3

// largeWidth is how many columns a text takes that is drawn large.
func largeWidth(text string, size int) int {
	return (len([]rune(text))*(blockColumns+1) - 1) * 2 * size
}

// large draws a text in blocks: its cells are size rows high and twice as many
// columns wide, since a terminal's cells are about twice as high as wide.
func large(text string, size int) (rows []string) {
	for row := range blockRows {
		var line strings.Builder
		for i, r := range []rune(text) {
			if i > 0 {
				line.WriteString(strings.Repeat("  ", size))
			}
			for _, cell := range blocks[r][row] {
				mark := " "
				if cell == '#' {
					mark = "█"
				}
				line.WriteString(strings.Repeat(mark, 2*size))
			}
		}
		for range size {
			rows = append(rows, strings.TrimRight(line.String(), " "))
		}
	}
	return rows
}
