# Runs after EXECUTABLE is linked: asks it for its test cases and writes OUTPUT, which ctest reads.
# Quick cases run together in one process, since starting one with deal.II's libraries costs more than most of them; the
# others get a ctest entry each, so that they run side by side and fail under their own names.
set(tags quick verification slow fuzz)
set(limit_quick 600)
set(limit_verification 1200)
set(limit_slow 1800)
set(limit_fuzz 1800)
# One thread a process: ctest runs several, and small dense blocks gain nothing from more.
set(environment OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1 DEAL_II_NUM_THREADS=1 OMPI_ALLOW_RUN_AS_ROOT=1
  OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1 ASAN_OPTIONS=detect_leaks=0)
list(JOIN environment "\\;" environment)

function(list_cases filter result)
  execute_process(COMMAND "${EXECUTABLE}" --list-test-names-only "${filter}"
    OUTPUT_VARIABLE output ERROR_VARIABLE error RESULT_VARIABLE code)
  # Catch2 version 2 returns the number of cases found.
  if(NOT code MATCHES "^[0-9]+$")
    message(FATAL_ERROR "${EXECUTABLE} did not list its test cases: ${code}\n${error}")
  endif()
  string(REPLACE "[" "\\[" output "${output}")
  string(REPLACE ";" "\\;" output "${output}")
  string(REGEX REPLACE "\n+$" "" output "${output}")
  string(REPLACE "\n" ";" output "${output}")
  set(${result} "${output}" PARENT_SCOPE)
endfunction()

set(text "")
function(emit test filter label)
  string(APPEND text "add_test([==[${test}]==] [==[${EXECUTABLE}]==] [==[${filter}]==] -w NoTests)\n")
  string(APPEND text "set_tests_properties([==[${test}]==] PROPERTIES LABELS ${label} TIMEOUT ${limit_${label}} "
    "ENVIRONMENT \"${environment}\")\n")
  set(text "${text}" PARENT_SCOPE)
endfunction()

list_cases("~[quick]~[verification]~[slow]~[fuzz]~[.]" untagged)
if(untagged)
  message(FATAL_ERROR "Test cases without a tag of their kind ([quick], [verification], [slow] or [fuzz]): ${untagged}")
endif()

foreach(tag IN LISTS tags)
  list_cases("[${tag}]" cases)
  if(tag STREQUAL "quick" AND cases)
    emit("${NAME}.quick" "[quick]" quick)
  elseif(cases)
    foreach(case IN LISTS cases)
      string(REPLACE "\\[" "[" name "${case}")
      # Catch2 reads , [ ] in a filter as its own signs.
      string(REGEX REPLACE "([][,\\])" "\\\\\\1" filter "${name}")
      emit("${NAME}.${tag}: ${name}" "${filter}" ${tag})
    endforeach()
  endif()
endforeach()
file(WRITE "${OUTPUT}" "${text}")
