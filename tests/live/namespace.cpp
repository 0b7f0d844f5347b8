#include "namespace.hpp"

#include <sstream>

namespace slotwitness::live {

Namespace::Namespace(const std::string& errors_to)
    : holder_({"unshare", "-Urn", "sh", "-c", "echo ready && exec sleep infinity"}, errors_to) {}

std::unique_ptr<Namespace> Namespace::make(const std::string& errors_to, std::string& why) {
    auto space = std::unique_ptr<Namespace>(new Namespace(errors_to));
    const auto ready = space->holder_.next_line();
    if (!ready || *ready != "ready") {
        why = "unshare gives no network namespace here";
        return nullptr;
    }
    for (const char* command : {"ip link add swv0 type veth peer name swv1", "ip link set swv0 up",
                                "ip link set swv1 up"})
        if (const Ran ran = space->inside(command); ran.status != 0) {
            why = std::string(command) + ": " + ran.output;
            return nullptr;
        }
    return space;
}

std::vector<std::string> Namespace::door() const {
    return {"nsenter", "--preserve-credentials", "-U", "-n", "-t", std::to_string(holder_.pid())};
}

Ran Namespace::inside(const std::string& command) const {
    std::vector<std::string> words = door();
    std::istringstream stream(command);
    for (std::string word; stream >> word;)
        words.push_back(word);
    return run(words);
}

} // namespace slotwitness::live
