/*
 * Cost of the engine: microseconds a verdict on the newest of 10, 60 and 104 weekly weighings, for an animal that is
 * well, one that is ill, and one whose newest reading is a slip; and of a session of twelve.
 *
 *   bench_trend [SECONDS]    time a line, 0.5 unless told
 *   bench_trend --fixed      each of them 20 times, to be counted: valgrind --tool=callgrind bench_trend --fixed
 *   bench_trend --rows N     N rows of 1000 animals as CSV, in order of time, for gramwell assess
 */
#include <gramwell/trend.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { MOST = 104, MATES = 12 };
static const char *const states[] = {"well", "ill", "slip"};

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void fill(gw_trend_weighing weighings[], size_t n, int state)
{
    for (size_t i = 0; i < n; i++) {
        double left = (double)(n - 1 - i);
        double grams = 1000 * (1 + 0.012 * sin(1.7 * (double)(i * i)));
        if (state == 1 && left < 4) grams *= 1 - 0.03 * (4 - left);
        if (state == 2 && left < 1) grams = 105;
        weighings[i] = (gw_trend_weighing){
            .at = 7 * (double)i, .grams = round(grams), .second = NAN, .step = 1, .scale = 1, .mouth_looked = 7};
    }
}

/* 0: as many turns as the time allows. */
static int fixed_turns;

static void write_rows(long n)
{
    fputs("animal,at,grams,species,stage\n", stdout);
    for (long i = 0; i < n; i++) {
        long week = i / 1000, who = i % 1000;
        double grams = (700 + (double)who / 2) * (1 + 0.012 * sin(1.7 * (double)(week * who)));
        long month = week / 4 % 12 + 1, day = week % 4 * 7 + 1, year = 1950 + week / 48;
        printf("%ld,%04ld-%02ld-%02ld,%.0f,guinea_pig,adult\n", who, year, month, day, grams);
    }
}

static void bench_verdict(size_t n, int state, double seconds)
{
    static gw_trend_weighing weighings[MOST];
    gw_trend_subject subject = {.birth = NAN,
                                .arrived = NAN,
                                .adult_grams = NAN,
                                .species = GW_SPECIES_GUINEA_PIG,
                                .sex = GW_SEX_FEMALE,
                                .stage = GW_STAGE_ADULT};
    gw_trend_verdict verdict;
    void *workspace = malloc(gw_trend_workspace_size(n));
    if (!workspace) exit(1);
    fill(weighings, n, state);
    double began = now(), passed = 0;
    long runs = 0;
    for (; fixed_turns ? runs == 0 : passed < seconds; passed = now() - began)
        for (int i = 0; i < (fixed_turns ? fixed_turns : 100); i++, runs++)
            if (gw_trend_assess(&subject, n, weighings, n - 1, workspace, &verdict, NULL) != GW_TREND_OK) exit(1);
    printf("verdict  %3zu weighings  %-4s  %7.2f us  (%s, %s)\n", n, states[state], 1e6 * passed / (double)runs,
           gw_level_name((gw_level)verdict.level), gw_quality_name((gw_quality)verdict.quality));
    free(workspace);
}

static void bench_session(double seconds)
{
    gw_trend_session_item items[MATES], fresh[MATES];
    gw_trend_session session = {0};
    for (int i = 0; i < MATES; i++) {
        double usual = 800 + 35 * i;
        fresh[i] = (gw_trend_session_item){.grams = round(usual * (1 + 0.01 * sin(i))),
                                           .species = GW_SPECIES_GUINEA_PIG,
                                           .verdict = {.expected = usual, .sd = 0.02}};
    }
    double began = now(), passed = 0;
    long runs = 0;
    for (; fixed_turns ? runs == 0 : passed < seconds; passed = now() - began)
        for (int i = 0; i < (fixed_turns ? fixed_turns : 100); i++, runs++) {
            for (int k = 0; k < MATES; k++) items[k] = fresh[k];
            if (gw_trend_session_judge(MATES, items, &session, NULL) != GW_TREND_OK) exit(1);
        }
    printf("session  %3d animals          %7.2f us  (%d counted)\n", MATES, 1e6 * passed / (double)runs,
           session.n_used);
}

int main(int argc, char **argv)
{
    if (argc > 2 && strcmp(argv[1], "--rows") == 0) {
        write_rows(strtol(argv[2], NULL, 10));
        return fflush(stdout) || ferror(stdout);
    }
    fixed_turns = argc > 1 && strcmp(argv[1], "--fixed") == 0 ? 20 : 0;
    double seconds = argc > 1 ? strtod(argv[1], NULL) : 0.5;
    const size_t lengths[] = {10, 60, 104};
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
        for (int state = 0; state < 3; state++) bench_verdict(lengths[i], state, seconds);
    bench_session(seconds);
    return 0;
}
