#include "unit.h"

gw_arena arena;
gw_error err;

#if defined(__SANITIZE_ADDRESS__)
#define HAS_SANITIZER 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define HAS_SANITIZER 1
#endif
#endif

#ifdef HAS_SANITIZER
#include <sanitizer/lsan_interface.h>
#endif

void unit_init(void)
{
    gw_arena_init(&arena);
    gw_error_init(&err, &arena);
}

void unit_fini(void)
{
    gw_arena_finish(&arena);
#ifdef HAS_SANITIZER
    cr_assert(eq(int, __lsan_do_recoverable_leak_check(), 0), "memory leaked");
#endif
}

void err_reset(void)
{
    gw_error_init(&err, &arena);
}

const char *fault_text(size_t i)
{
    const gw_fault *fault = err.faults;
    while (fault && i-- > 0) fault = fault->next;
    return fault ? gw_arena_printf(&arena, "%s %s", fault->pointer, fault->detail) : "";
}
