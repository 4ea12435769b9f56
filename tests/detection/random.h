/* The simulator's own random numbers: the same seed gives the same cohort on every machine and with every compiler. */
#ifndef GW_DETECTION_RANDOM_H
#define GW_DETECTION_RANDOM_H

#include <stdbool.h>
#include <stdint.h>

typedef struct {
    uint64_t word[4];
} random_stream;

/* Streams of one seed with different numbers are independent: one a home, so that homes can be made in any order. */
void random_seed(random_stream *r, uint64_t seed, uint64_t number);
double random_share(random_stream *r); /* uniform in [0, 1) */
double random_between(random_stream *r, double low, double high);
int random_below(random_stream *r, int n); /* 0 to n - 1 */
bool random_chance(random_stream *r, double probability);
double random_normal(random_stream *r);
double random_lognormal(random_stream *r, double median, double sd_of_ln);
/* Student's t with these degrees of freedom, scaled to a standard deviation of 1; freedom of 3 or more. */
double random_heavy(random_stream *r, int freedom);

#endif
