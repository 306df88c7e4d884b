// SPDX-License-Identifier: GPL-2.0
/*
 * For tests alone: a one-wire bus master behind which some DS18B20 probes
 * answer. The kernel's own one-wire core and its driver for the probes work on
 * it as on a real bus. What a probe measures, and what is wrong with it, is
 * written to the module's parameters while it runs:
 *
 *	milli_celsius	per probe
 *	fault		per probe: 0 well, 1 absent, 2 damaged checksum
 *	shorted		the whole bus: 1 held low
 *	hangs		the whole bus: while it is 1, nobody who asks it comes back
 *
 * and what it was asked is read there:
 *
 *	together	how often all probes were told to convert at once
 *	alone		how often one was
 *
 * Commands and the memory's layout are those of the DS18B20's data sheet (from
 * memory), the interface that of include/linux/w1.h.
 */
#include <linux/delay.h>
#include <linux/module.h>
#include <linux/w1.h>

#define MOST_PROBES 8

static int probes = 3;
module_param(probes, int, 0444);
static int milli_celsius[MOST_PROBES] = { 20000, 20000, 20000 };
module_param_array(milli_celsius, int, NULL, 0644);
static int fault[MOST_PROBES];
module_param_array(fault, int, NULL, 0644);
static bool shorted;
module_param(shorted, bool, 0644);
static bool hangs;
module_param(hangs, bool, 0644);
static int together;
module_param(together, int, 0444);
static int alone;
module_param(alone, int, 0444);

enum { WELL, ABSENT, DAMAGED };
enum { ROM_COMMAND, ROM_ADDRESS, COMMAND, WRITING, READING, IDLE };
enum { NOBODY = -2, EVERYBODY = -1 };

struct probe {
	s16 converted;	/* 1/16 degrees */
	u8 settings[3];	/* the two alarm limits, the resolution */
};

static struct {
	int state;
	int count;	/* bytes so far */
	int chosen;	/* a probe, or everybody or nobody */
	u64 address;
	u8 answer[9];
	struct probe probe[MOST_PROBES];
} bus;

static u8 checksum(const u8 *bytes, int length)
{
	u8 sum = 0;
	int bit;

	for (; length > 0; length--, bytes++) {
		u8 rest = *bytes;

		for (bit = 0; bit < 8; bit++, rest >>= 1) {
			bool mix = (sum ^ rest) & 1;

			sum >>= 1;
			if (mix)
				sum ^= 0x8c;
		}
	}
	return sum;
}

/* The identities are 28-000000000001 and so on. */
static u64 address_of(int i)
{
	u8 rom[8] = { 0x28, i + 1 };
	u64 address = 0;
	int k;

	rom[7] = checksum(rom, 7);
	for (k = 0; k < 8; k++)
		address |= (u64)rom[k] << (8 * k);
	return address;
}

static bool is_chosen(int i)
{
	return fault[i] != ABSENT && (bus.chosen == EVERYBODY || bus.chosen == i);
}

static u8 sim_reset(void *data)
{
	while (READ_ONCE(hangs))
		msleep(20);
	bus.state = ROM_COMMAND;
	bus.count = 0;
	bus.chosen = NOBODY;
	return shorted; /* 0: somebody answers */
}

static void convert(void)
{
	int i;

	if (bus.chosen == EVERYBODY)
		together++;
	else
		alone++;
	for (i = 0; i < probes; i++)
		if (is_chosen(i))
			bus.probe[i].converted = milli_celsius[i] * 16 / 1000;
}

static void prepare_answer(void)
{
	struct probe *p = &bus.probe[bus.chosen];

	bus.answer[0] = p->converted & 0xff;
	bus.answer[1] = (p->converted >> 8) & 0xff;
	memcpy(bus.answer + 2, p->settings, sizeof(p->settings));
	bus.answer[5] = 0xff;
	bus.answer[6] = 0x0c;
	bus.answer[7] = 0x10;
	bus.answer[8] = checksum(bus.answer, 8);
	if (fault[bus.chosen] == DAMAGED)
		bus.answer[8] ^= 0x55;
}

static void command(u8 value)
{
	bus.count = 0;
	bus.state = IDLE;
	switch (value) {
	case W1_CONVERT_TEMP:
		convert();
		break;
	case W1_READ_SCRATCHPAD:
		if (bus.chosen >= 0) {
			prepare_answer();
			bus.state = READING;
		}
		break;
	case W1_WRITE_SCRATCHPAD:
		bus.state = WRITING;
		break;
	}
}

static void choose(void)
{
	int i;

	for (i = 0; i < probes; i++)
		if (address_of(i) == bus.address && fault[i] != ABSENT)
			bus.chosen = i;
	bus.state = COMMAND;
}

static void sim_write(void *data, u8 value)
{
	switch (bus.state) {
	case ROM_COMMAND:
		bus.state = IDLE;
		if (value == W1_SKIP_ROM) {
			bus.chosen = EVERYBODY;
			bus.state = COMMAND;
		} else if (value == W1_MATCH_ROM) {
			bus.address = 0;
			bus.state = ROM_ADDRESS;
		}
		break;
	case ROM_ADDRESS:
		bus.address |= (u64)value << (8 * bus.count);
		if (++bus.count == 8)
			choose();
		break;
	case COMMAND:
		command(value);
		break;
	case WRITING:
		if (bus.chosen >= 0 && bus.count < 3)
			bus.probe[bus.chosen].settings[bus.count++] = value;
		break;
	}
}

static u8 sim_read(void *data)
{
	if (bus.state == READING && bus.count < sizeof(bus.answer))
		return bus.answer[bus.count++];
	return 0xff;
}

static u8 sim_touch_bit(void *data, u8 bit)
{
	return 1;
}

static void sim_search(void *data, struct w1_master *master, u8 type, w1_slave_found_callback found)
{
	int i;

	if (type != W1_SEARCH || shorted)
		return;
	for (i = 0; i < probes; i++)
		if (fault[i] != ABSENT)
			found(master, address_of(i));
}

static struct w1_bus_master sim = {
	.reset_bus = sim_reset,
	.write_byte = sim_write,
	.read_byte = sim_read,
	.touch_bit = sim_touch_bit,
	.search = sim_search,
	.dev_id = "sunstoker test",
};

static int __init sim_init(void)
{
	static const u8 usual[3] = { 75, 70, 0x7f };
	int i;

	if (probes < 0 || probes > MOST_PROBES)
		return -EINVAL;
	for (i = 0; i < MOST_PROBES; i++) {
		bus.probe[i].converted = 85 * 16; /* as after power-on */
		memcpy(bus.probe[i].settings, usual, sizeof(usual));
	}
	return w1_add_master_device(&sim);
}

static void __exit sim_exit(void)
{
	w1_remove_master_device(&sim);
}

module_init(sim_init);
module_exit(sim_exit);
MODULE_DESCRIPTION("DS18B20 probes that are not there, for tests");
MODULE_LICENSE("GPL");
