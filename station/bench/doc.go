// Package bench is a simulated plant as the daemon meets it: at ports in memory
// ([Plant] implements station.Simulated), as registers and coils of a Modbus
// module over TCP ([Module]), and as a folder shaped like the kernel's 1-wire tree
// ([Tree]). A daemon that is given the site file of [SiteFile] thinks that it is
// real.
//
// A person throws faults, changes the weather and draws water by orders in words,
// see [Plant.Order]. Nothing real is ever switched.
package bench
