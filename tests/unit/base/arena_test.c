/* Memory with the life of a request, and the error that lives in it. */
#include "base/arena.h"

#include <stdint.h>
#include <string.h>

#include "base/buffer.h"
#include "unit.h"

TestSuite(base_arena, .init = unit_init, .fini = unit_fini);

static char order[8];

static void note(void *thing)
{
    size_t used = strlen(order);
    order[used] = *(const char *)thing;
}

Test(base_arena, memory_is_zeroed_aligned_and_apart)
{
    unsigned char *before = NULL;
    for (size_t size = 0; size < 5000; size += 7) {
        unsigned char *memory = gw_arena_alloc(&arena, size);
        cr_assert(memory != NULL);
        cr_assert(eq(sz, (size_t)((uintptr_t)memory % _Alignof(max_align_t)), 0));
        for (size_t i = 0; i < size; i++) cr_assert(eq(int, memory[i], 0));
        memset(memory, 0xEE, size);
        cr_assert(memory != before);
        before = memory;
    }
}

Test(base_arena, cleanups_run_newest_first_at_the_reset_and_once)
{
    gw_arena_on_reset(&arena, note, "1");
    gw_arena_on_reset(&arena, note, "2");
    gw_arena_reset(&arena);
    cr_expect(eq(str, order, "21"));
    gw_arena_reset(&arena);
    cr_expect(eq(str, order, "21"));
}

Test(base_arena, a_failed_allocation_is_remembered_until_the_reset)
{
    gw_arena_fail_at(2);
    cr_assert(gw_arena_alloc(&arena, 10) != NULL);
    cr_expect(gw_arena_printf(&arena, "%d", 7) == NULL);
    cr_expect(gw_arena_failed(&arena));
    cr_expect(gw_arena_alloc(&arena, 10) != NULL);
    cr_expect(gw_arena_failed(&arena));
    gw_arena_reset(&arena);
    cr_expect(not(gw_arena_failed(&arena)));
}

Test(base_arena, sizes_that_do_not_fit_fail)
{
    cr_expect(gw_arena_array(&arena, SIZE_MAX / 2, 4) == NULL);
    cr_expect(gw_arena_alloc(&arena, SIZE_MAX - 3) == NULL);
    cr_expect(gw_arena_failed(&arena));
}

Test(base_arena, a_thing_that_cannot_be_tied_is_released_at_once)
{
    gw_arena_fail_at(1);
    gw_arena_on_reset(&arena, note, "x");
    cr_expect(eq(str, order, "x"));
    cr_expect(gw_arena_failed(&arena));
}

Test(base_arena, a_buffer_that_could_not_grow_gives_no_half_text)
{
    gw_buffer out;
    gw_buffer_init(&out, &arena, 4);
    gw_buffer_add(&out, "abcd");
    gw_arena_fail_at(1);
    gw_buffer_add(&out, "efgh");
    cr_expect(gw_buffer_text(&out) == NULL);
}

Test(base_arena, the_first_error_wins_and_faults_keep_their_order)
{
    gw_fail(&err, GW_ECONFLICT, "first %d", 1);
    cr_expect(eq(int, gw_fail(&err, GW_EUNKNOWN, "second"), GW_ECONFLICT));
    cr_expect(eq(str, err.message, "first 1"));
    err_reset();
    for (int i = 0; i < GW_FAULTS_MAX + 5; i++) gw_fault_add(&err, gw_arena_printf(&arena, "/%d", i), "is wrong", NULL);
    cr_expect(eq(int, err.status, GW_EINPUT));
    cr_expect(eq(sz, err.n_faults, GW_FAULTS_MAX + 5));
    cr_expect(eq(str, (char *)fault_text(0), "/0 is wrong"));
    cr_expect(eq(str, (char *)fault_text(GW_FAULTS_MAX - 1), "/99 is wrong"));
    cr_expect(eq(str, (char *)fault_text(GW_FAULTS_MAX), ""));
}

Test(base_arena, a_long_message_is_cut_between_characters)
{
    char text[600];
    for (size_t shift = 0; shift < 3; shift++) {
        size_t used = shift;
        memset(text, 'a', shift);
        for (; used + 3 < sizeof text; used += 3) memcpy(text + used, "\xE2\x82\xAC", 3);
        text[used] = '\0';
        err_reset();
        gw_fail(&err, GW_EINPUT, "%s", text);
        size_t length = strlen(err.message);
        cr_expect(length < GW_MESSAGE_MAX && length > GW_MESSAGE_MAX - 5);
        cr_expect(eq(sz, (length - shift) % 3, 0));
    }
}

Test(base_arena, an_error_may_be_absent)
{
    cr_expect(eq(int, gw_fail(NULL, GW_EBUSY, "x"), GW_EBUSY));
    cr_expect(eq(int, gw_fault_add(NULL, "/a", "b", NULL), GW_EINPUT));
    gw_error bare;
    gw_error_init(&bare, NULL);
    gw_fault_add(&bare, "/a", "is wrong", NULL);
    cr_expect(eq(str, bare.message, "/a is wrong"));
}
