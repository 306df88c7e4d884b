package sensors

import (
	"errors"
	"testing"
	"time"

	"sunstoker/sensors/wiretree"
)

// answer is one read: a register and byte 6, or none at all.
type answer struct {
	at       time.Duration
	register int16
	reserved byte
	want     FaultKind // 0: a value
}

const at85 = 85 * 16

func TestPowerOnRecordIsJudgedByHistory(t *testing.T) {
	const plain, suspect = 0x10, 0x0C
	for name, answers := range map[string][]answer{
		"first record of all": {
			{0, at85, suspect, PowerOn}},
		"step from a cool tank": {
			{0, 40 * 16, plain, 0},
			{2 * time.Second, at85, suspect, PowerOn},
			{4 * time.Second, 40 * 16, plain, 0}},
		"a tank that truly reaches 85 °C": {
			{0, 84*16 + 15, suspect, 0},
			{2 * time.Second, at85, suspect, 0},
			{4 * time.Second, at85, suspect, 0},
			{6 * time.Second, at85 + 1, suspect, 0}},
		"falling back to 85 °C": {
			{0, at85 + 5*16, plain, 0},
			{2 * time.Second, at85, suspect, 0}},
		"just too far": {
			{0, at85 + 5*16 + 1, plain, 0},
			{2 * time.Second, at85, suspect, PowerOn}},
		"neighbour too old": {
			{0, 84 * 16, plain, 0},
			{nearTime + 1, at85, suspect, PowerOn}},
		"believed records do not vouch for each other": {
			{0, 84 * 16, plain, 0},
			{nearTime - 1, at85, suspect, 0},
			{nearTime + 1, at85, suspect, PowerOn}},
		"85 °C with another byte 6 comes from a conversion": {
			{0, 40 * 16, plain, 0},
			{2 * time.Second, at85, plain, 0}},
	} {
		var h history
		for i, a := range answers {
			b := wiretree.RecordBytes(a.register, 0x7F, a.reserved)
			rec, fault := parseRecord([]byte(wiretree.RecordText(b)))
			if fault != nil {
				t.Fatal(fault)
			}
			sample := h.judge(rec, nil, a.at)
			if a.want == 0 && (sample.Fault != nil || sample.Value != registerC(a.register)) || a.want != 0 && !errors.Is(sample.Fault, a.want) {
				t.Errorf("%s, answer %d: %g, %v, want fault %v", name, i, sample.Value, sample.Fault, a.want)
			}
		}
	}
}

func TestRepeatsAndFaultDates(t *testing.T) {
	rec, _ := parseRecord([]byte(goodText))
	other, _ := parseRecord([]byte(recordOf(371, 0x7F, 0x0E)))
	var h history
	for i, step := range []struct {
		rec         *record
		fault       FaultKind
		wantRepeats int
		wantSince   time.Duration
	}{
		{rec, 0, 0, 0},
		{rec, 0, 1, 0},
		{nil, Silent, 0, 2 * time.Second},
		{nil, Silent, 0, 2 * time.Second},
		{nil, Absent, 0, 4 * time.Second},
		{rec, 0, 2, 0},
		{nil, Absent, 0, 6 * time.Second},
		{other, 0, 0, 0},
		{other, 0, 1, 0},
	} {
		at := time.Duration(i) * time.Second
		var fault *Fault
		if step.fault != 0 {
			fault = &Fault{Kind: step.fault}
		}
		sample := h.judge(step.rec, fault, at)
		if sample.Repeats != step.wantRepeats || sample.Taken != at {
			t.Errorf("answer %d: %d repeats at %v, want %d at %v", i, sample.Repeats, sample.Taken, step.wantRepeats, at)
		}
		var got *Fault
		if errors.As(sample.Fault, &got) != (step.fault != 0) {
			t.Fatalf("answer %d: fault %v", i, sample.Fault)
		}
		if got != nil && got.Since != step.wantSince {
			t.Errorf("answer %d: %v since %v, want %v", i, got, got.Since, step.wantSince)
		}
	}
}
