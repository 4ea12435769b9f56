/**
 * A test of a scale with a known mass.
 */
#ifndef GW_SCALE_SCALE_TEST_H
#define GW_SCALE_SCALE_TEST_H

#include <stdbool.h>
#include <stdint.h>

/**
 * Is the reading near enough?
 *
 * The largest error allowed is that of OIML R 76-1 for class III in service, twice that at first verification [OIMLTAB,
 * UKNAWI], as the engine's gw_trend_scale_allowed_error knows it. Test: tests/unit/scale/scale_test.c
 *
 * @param step     step of the scale, tenths of a gram, above 0
 * @param mass     known mass, tenths of a gram
 * @param reading  what the scale showed, tenths of a gram
 * @param allowed  out: largest error in grams
 */
bool gw_scale_test_passes(int32_t step, int32_t mass, int32_t reading, double *allowed);

#endif
