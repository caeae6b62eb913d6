/* The library of units reads its tables from XML files for every scenario: thousands of times what the rest takes. The
 * linker's --wrap puts these in its place, so that a fuzz target reads them once. */
#include <udunits2.h>

ut_system *__real_ut_read_xml(const char *path);
ut_system *__wrap_ut_read_xml(const char *path);
void __wrap_ut_free_system(ut_system *system);

ut_system *__wrap_ut_read_xml(const char *path)
{
    static ut_system *system;
    if (!system) {
        system = __real_ut_read_xml(path);
    }
    return system;
}

void __wrap_ut_free_system(ut_system *system)
{
    (void)system; /* stays for the next scenario */
}
