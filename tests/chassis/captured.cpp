#include "captured.hpp"

#include "device.hpp"

#include <stdexcept>

namespace slotwitness::chassis {
namespace {

using std::chrono::seconds;

Device new_device() {
    return Device(Fitting{}, seconds(2));
}

void must(Device& device, std::string_view order, Time at) {
    const auto reply = device.obey(order, at).reply;
    if (!reply.starts_with(R"({"done":true)"))
        throw std::logic_error(std::string(order) + ": " + reply);
}

void capture(std::vector<Captured>& into, const std::string& condition, Device& device, Time at) {
    for (const auto& word : tell_words())
        into.push_back({condition, word, device.ask("tell " + word, at).out});
    into.push_back({condition, "module-detail", device.ask("tell module FAB4", at).out});
}

Device mid_swap() {
    Device device = new_device();
    must(device, "engineer release plane 3", seconds(10));
    must(device, "engineer release plane 4", seconds(11));
    must(device, "engineer release module FAB3", seconds(20));
    must(device, "technician pull tray TRAY2", seconds(30));
    must(device, "technician pull module FAB3", seconds(50));
    return device;
}

Device broken() {
    Device device = new_device();
    must(device, "world room 41 C", seconds(2));
    must(device, "world break feed PSU2", seconds(4));
    must(device, "technician pull supply PSU4", seconds(4));
    must(device, "world break sensor humidity", seconds(5));
    must(device, "world flap port eth9", seconds(6));
    must(device, "engineer release port eth10", seconds(6));
    must(device, "world break neighbour eth12", seconds(6));
    must(device, "technician pull module LINE2", seconds(7));
    must(device, "engineer release plane 5", seconds(8));
    must(device, "technician pull tray TRAY1", seconds(9));
    must(device, "technician pull module FAB1", seconds(10));
    must(device, "engineer release module FAB6", seconds(200));
    must(device, "engineer lead controller CTL1", seconds(299));
    // Just before the tables are renewed, for what lasts only a moment.
    must(device, "technician seat module FAB1 serial QL40100099 build R4", Time(299'500));
    must(device, "engineer release module FAB5", Time(299'500));
    return device;
}

void capture_spoilt(std::vector<Captured>& into, const std::string& query, const std::string& what,
                    const std::string& fault) {
    Device device = new_device();
    must(device, "fault " + fault, seconds(10));
    into.push_back({"hostile", query + "-" + what, device.ask("tell " + query, seconds(10)).out});
}

} // namespace

std::vector<Captured> captured_answers() {
    std::vector<Captured> all;
    Device healthy = new_device();
    capture(all, "healthy", healthy, seconds(10));
    Device swapping = mid_swap();
    capture(all, "mid-swap", swapping, seconds(60));
    Device ailing = broken();
    capture(all, "broken", ailing, Time(300'200));
    for (const std::string query : {"planes", "modules", "trays"}) {
        capture_spoilt(all, query, "cut", "cut 200");
        capture_spoilt(all, query, "garbled", "garble");
        capture_spoilt(all, query, "paged", "pager");
    }
    capture_spoilt(all, "planes", "contradicting", "contradict plane 3");
    capture_spoilt(all, "modules", "contradicting", "contradict module FAB3");
    capture_spoilt(all, "trays", "contradicting", "contradict tray TRAY2");
    return all;
}

} // namespace slotwitness::chassis
