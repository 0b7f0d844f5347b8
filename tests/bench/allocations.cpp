#include "measure.hpp"

#include <atomic>
#include <cstdlib>
#include <new>

// The other forms of the standard library come to these (C++20, [new.delete]).

namespace {
std::atomic<std::uint64_t> count{0};
}

// What replaces new and delete has nothing else to take memory from.
// NOLINTBEGIN(cppcoreguidelines-no-malloc)
void* operator new(std::size_t size) {
    count.fetch_add(1, std::memory_order_relaxed);
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
    return count.load(std::memory_order_relaxed);
}

} // namespace slotwitness::bench
