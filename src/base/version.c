#include "thawprint/version.h"

const char *thaw_version(void)
{
    return THAW_VERSION;
}
