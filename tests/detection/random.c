/*
 * xoshiro256** 1.0 (D. Blackman, S. Vigna, ACM Trans. Math. Software 47 (2021) 36), seeded by splitmix64 (G. Steele,
 * D. Lea, C. Flood, OOPSLA 2014), both written from their published constants (from memory).
 */
#include "random.h"

#include <math.h>

static uint64_t splitmix(uint64_t *state)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

void random_seed(random_stream *r, uint64_t seed, uint64_t number)
{
    uint64_t state = seed;
    state = splitmix(&state) ^ (number * 0xd1342543de82ef95u);
    for (int i = 0; i < 4; i++) r->word[i] = splitmix(&state);
}

static uint64_t rotate(uint64_t x, int bits)
{
    return (x << bits) | (x >> (64 - bits));
}

static uint64_t next(random_stream *r)
{
    uint64_t *s = r->word, result = rotate(s[1] * 5, 7) * 9, t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate(s[3], 45);
    return result;
}

double random_share(random_stream *r)
{
    return (double)(next(r) >> 11) * 0x1.0p-53;
}

double random_between(random_stream *r, double low, double high)
{
    return low + (high - low) * random_share(r);
}

int random_below(random_stream *r, int n)
{
    return (int)(random_share(r) * n);
}

bool random_chance(random_stream *r, double probability)
{
    return random_share(r) < probability;
}

double random_normal(random_stream *r)
{
    double radius = sqrt(-2 * log(1 - random_share(r)));
    return radius * cos(6.283185307179586 * random_share(r));
}

double random_lognormal(random_stream *r, double median, double sd_of_ln)
{
    return median * exp(sd_of_ln * random_normal(r));
}

double random_heavy(random_stream *r, int freedom)
{
    double chi = 0;
    for (int i = 0; i < freedom; i++) {
        double z = random_normal(r);
        chi += z * z;
    }
    return random_normal(r) / sqrt(chi / freedom) * sqrt((freedom - 2.0) / freedom);
}
