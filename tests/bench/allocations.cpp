#include "measure.hpp"

#include <cstdlib>
#include <new>

// The other forms of the standard library come to these (C++20, [new.delete]).

namespace {
// Of each thread its own: an atomic one would take longer than what is counted.
thread_local std::uint64_t count = 0;
} // namespace

// What replaces new and delete has nothing else to take memory from.
// NOLINTBEGIN(cppcoreguidelines-no-malloc)
void* operator new(std::size_t size) {
    ++count;
    if (void* memory = std::malloc(size == 0 ? 1 : size))
        return memory;
    throw std::bad_alloc{};
}
void operator delete(void* memory) noexcept {
    std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
    std::free(memory);
}
// NOLINTEND(cppcoreguidelines-no-malloc)

namespace slotwitness::bench {

std::uint64_t allocations() {
    return count;
}

} // namespace slotwitness::bench
