/* The table of units is read from XML files, and some units parsed, for every scenario: hundreds of times what the rest
 * takes. The linker's --wrap puts these in its place, so that a fuzz target makes one table and keeps it: nothing is
 * written into it once it is made. */
#include "base/quantity.h"

thaw_status __real_thaw_units_create(thaw_units **out, thaw_error *err);
thaw_status __wrap_thaw_units_create(thaw_units **out, thaw_error *err);
void __wrap_thaw_units_destroy(thaw_units *units);

thaw_status __wrap_thaw_units_create(thaw_units **out, thaw_error *err)
{
    static thaw_units *units;
    const thaw_status status = units ? THAW_OK : __real_thaw_units_create(&units, err);
    if (status == THAW_OK) {
        *out = units;
    }
    return status;
}

void __wrap_thaw_units_destroy(thaw_units *units)
{
    (void)units; /* stays for the next scenario */
}
