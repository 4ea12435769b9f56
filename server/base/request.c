#include "base/request.h"

const char *gw_role_name(gw_role role)
{
    static const char *const names[] = {"none", "any", "volunteer", "intake", "coordinator"};
    return names[role];
}
