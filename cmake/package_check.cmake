# Read by cpack before it packs.
if(CPACK_THAW_NATIVE AND NOT CPACK_THAW_TRIAL)
  message(FATAL_ERROR "This build runs on machines like this one only: package one with -DTHAW_NATIVE=OFF "
    "(sh packaging/deb.sh)")
endif()
