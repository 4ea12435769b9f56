# What the compiled library must not hold: writable data, allocation or input and output, fused multiply-add.
#
#   cmake -DNM=nm -DOBJDUMP=objdump -DARCHIVE=libgramwell-trend.a -DSHARED=libgramwell-trend.so -P purity.cmake

cmake_minimum_required(VERSION 3.25)

# 1. Of the C library only functions of numbers and memory. A list of what may be called, so that nothing slips through.
set(may ceil copysign cos erf erfc exp exp2 expm1 fabs floor fmax fmin fmod hypot isfinite lgamma log log1p lround
    memcmp memcpy memmove memset nearbyint pow rint round sqrt strcmp tgamma trunc _GLOBAL_OFFSET_TABLE_
    __stack_chk_fail)
execute_process(COMMAND ${NM} -u ${ARCHIVE} OUTPUT_VARIABLE lines COMMAND_ERROR_IS_FATAL ANY)
string(REGEX MATCHALL " U [A-Za-z0-9_@.]+" found "${lines}")
list(TRANSFORM found REPLACE "^ U " "")
list(FILTER found EXCLUDE REGEX "^gw_")
list(REMOVE_DUPLICATES found)
if(NOT "exp" IN_LIST found)
  message(FATAL_ERROR "exp is not among the called functions: ${NM} was not understood")
endif()
foreach(name ${found})
  if(NOT name IN_LIST may)
    message(SEND_ERROR "the library calls ${name}, which is not on the list")
  endif()
endforeach()

# 2. No state: nothing that can be written lies in any object.
execute_process(COMMAND ${OBJDUMP} -h ${ARCHIVE} OUTPUT_VARIABLE lines COMMAND_ERROR_IS_FATAL ANY)
string(REGEX MATCHALL "[0-9]+ \\.[a-z_.]+ +[0-9a-f]+ " sections "${lines}")
set(seen 0)
foreach(section ${sections})
  string(REGEX REPLACE "^[0-9]+ (\\.[a-z_.]+) +([0-9a-f]+) $" "\\1;\\2" pair "${section}")
  list(GET pair 0 name)
  list(GET pair 1 size)
  if(name STREQUAL ".text")
    math(EXPR seen "${seen} + 1")
  endif()
  if(name MATCHES "^\\.(data|bss|tdata|tbss)" AND NOT name MATCHES "^\\.data\\.rel\\.ro" AND NOT size MATCHES "^0+$")
    message(SEND_ERROR "${name} holds 0x${size} bytes that can be written")
  endif()
endforeach()
execute_process(COMMAND ${NM} ${ARCHIVE} OUTPUT_VARIABLE lines COMMAND_ERROR_IS_FATAL ANY)
if(seen LESS 10 OR lines MATCHES " [CBDS] gw_")
  message(SEND_ERROR "${seen} objects seen; a name of the library is common or in writable data")
endif()

# 3. No fused multiply-add: the phone has none, and the levels must be equal.
execute_process(COMMAND ${OBJDUMP} -d --no-show-raw-insn ${SHARED} OUTPUT_VARIABLE code COMMAND_ERROR_IS_FATAL ANY)
if(NOT code MATCHES "gw_trend_assess")
  message(FATAL_ERROR "gw_trend_assess is not in the listing: ${OBJDUMP} was not understood")
endif()
string(REGEX MATCH "[^\n]*[ \t]v?fn?m(add|sub|la|ls)[0-9a-z.]*[ \t][^\n]*" fused "${code}")
if(fused)
  message(SEND_ERROR "fused multiply-add: ${fused}")
endif()
