package fieldbus

import (
	"net"
	"testing"
	"time"
)

// FuzzHostileModule lets a module answer anything: there is an error, or as many
// registers as were asked for, and the next request is not harmed.
func FuzzHostileModule(f *testing.F) {
	f.Add([]byte{0, 1, 0, 0, 0, 7, 3, 4, 4, 0, 1, 0, 2}) // right
	f.Add([]byte{0, 1, 0, 0, 0, 5, 3, 4, 2, 0, 1})       // too few
	f.Add([]byte{0, 1, 0, 0, 255, 255, 3, 4})            // a length that cannot be
	f.Add([]byte{0, 1, 0, 0, 0, 3, 3, 0x84, 2})          // a refusal
	f.Add([]byte{0, 1, 0, 9, 0, 1, 3})                   // another protocol
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, reply []byte) {
		listener, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		defer listener.Close()
		go func() {
			for {
				conn, err := listener.Accept()
				if err != nil {
					return
				}
				request := make([]byte, 12)
				_, _ = conn.Read(request) // whatever was asked
				_, _ = conn.Write(reply)
				_ = conn.Close()
			}
		}()
		line := New(Options{TCP: listener.Addr().String(), Timeout: 200 * time.Millisecond})
		defer line.Close()
		for range 2 {
			if values, err := line.ReadRegisters(3, false, 7, 2); err == nil && len(values) != 2 {
				t.Errorf("%x gives %x", reply, values)
			}
			_ = line.WriteCoil(3, 7, true) // an answer that is right may be among them
			_, _, _ = line.ReadCoil(3, 7)  // likewise
		}
	})
}
