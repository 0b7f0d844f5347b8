#include "faults.hpp"

#include <algorithm>

namespace slotwitness::chassis {
namespace {

constexpr std::size_t garbled_every = 61;
constexpr char garbage = '\x1a';
constexpr int pager_lines = 6;

std::string garbled(std::string text) {
    std::size_t count = garbled_every / 2;
    for (char& byte : text)
        if (++count % garbled_every == 0)
            byte = garbage;
    return text;
}

std::string paged(const std::string& text) {
    // What stays in a capture when a pager runs where it should not: prompt, return, blanks,
    // return.
    const std::string prompt = " -- more -- ";
    std::string made;
    int line = 0;
    for (const char byte : text) {
        made += byte;
        if (byte == '\n' && ++line % pager_lines == 0)
            made.append(prompt).append("\r").append(prompt.size(), ' ').append("\r");
    }
    return made;
}

template <class Rows, class Member, class Contradict>
void add_opposite(Rows& rows, Member member, const std::string& name, Contradict opposite) {
    const auto found = std::find_if(rows.begin(), rows.end(),
                                    [&](const auto& row) { return row.*member == name; });
    if (found == rows.end())
        return;
    auto second = *found;
    opposite(second);
    rows.insert(found + 1, std::move(second));
}

} // namespace

std::string_view to_word(Fault::Kind kind) {
    switch (kind) {
    case Fault::Kind::slow:
        return "slow";
    case Fault::Kind::cut:
        return "cut";
    case Fault::Kind::garble:
        return "garble";
    case Fault::Kind::pager:
        return "pager";
    case Fault::Kind::contradict:
        return "contradict";
    case Fault::Kind::disconnect:
        return "disconnect";
    case Fault::Kind::refuse_command:
        return "refuse-command";
    case Fault::Kind::refuse_auth:
        return "refuse-auth";
    case Fault::Kind::change_host_key:
        return "change-host-key";
    }
    return "";
}

const std::vector<Fault::Kind>& fault_kinds() {
    static const std::vector<Fault::Kind> all{
        Fault::Kind::slow,           Fault::Kind::cut,         Fault::Kind::garble,
        Fault::Kind::pager,          Fault::Kind::contradict,  Fault::Kind::disconnect,
        Fault::Kind::refuse_command, Fault::Kind::refuse_auth, Fault::Kind::change_host_key};
    return all;
}

std::string to_text(const Fault& fault) {
    std::string text{to_word(fault.kind)};
    if (fault.kind == Fault::Kind::slow)
        text.append(" ").append(std::to_string(fault.wait.count())).append("ms");
    if (fault.kind == Fault::Kind::cut)
        text.append(" ").append(std::to_string(fault.bytes));
    if (fault.kind == Fault::Kind::contradict)
        text.append(" ").append(to_word(fault.part)).append(" ").append(fault.name);
    if (fault.once)
        text.append(" once");
    return text;
}

Delivery deliver(Answer answer, const std::vector<Fault>& faults) {
    Delivery delivery{std::move(answer.out), std::move(answer.err), answer.status};
    for (const auto& fault : faults) {
        switch (fault.kind) {
        case Fault::Kind::slow:
            delivery.wait = std::max(delivery.wait, fault.wait);
            break;
        case Fault::Kind::cut:
            delivery.out.resize(std::min(delivery.out.size(), fault.bytes));
            delivery.err.clear();
            delivery.status.reset();
            break;
        case Fault::Kind::garble:
            delivery.out = garbled(std::move(delivery.out));
            break;
        case Fault::Kind::pager:
            delivery.out = paged(delivery.out);
            break;
        case Fault::Kind::disconnect:
            delivery.out.resize(delivery.out.size() / 2);
            delivery.err.clear();
            delivery.drops = true;
            break;
        case Fault::Kind::refuse_command:
            delivery.out.clear();
            delivery.err = "This account may not ask that.\n";
            delivery.status = 1;
            break;
        case Fault::Kind::contradict:
        case Fault::Kind::refuse_auth:
        case Fault::Kind::change_host_key:
            break;
        }
    }
    return delivery;
}

Snapshot contradicted(Snapshot snapshot, const std::vector<Fault>& faults) {
    const auto other = [](auto& row) {
        const bool down = row.condition == Condition::dark;
        row.drive = down ? Drive::engaged : Drive::released;
        row.condition = down ? Condition::running : Condition::dark;
    };
    for (const auto& fault : faults) {
        if (fault.kind != Fault::Kind::contradict)
            continue;
        switch (fault.part) {
        case Part::plane:
            add_opposite(snapshot.planes, &PlaneRow::name, fault.name, [&](PlaneRow& row) {
                other(row);
                if (row.condition == Condition::running)
                    row.condition = Condition::carrying;
            });
            break;
        case Part::module:
            add_opposite(snapshot.modules, &ModuleRow::slot, fault.name, other);
            break;
        case Part::port:
            add_opposite(snapshot.ports, &PortRow::name, fault.name, other);
            break;
        case Part::tray:
            add_opposite(snapshot.trays, &TrayRow::slot, fault.name, other);
            break;
        case Part::supply:
            add_opposite(snapshot.supplies, &SupplyRow::slot, fault.name, [](SupplyRow& row) {
                row.condition =
                    row.condition == Condition::dark ? Condition::running : Condition::dark;
            });
            break;
        case Part::controller:
            add_opposite(snapshot.controllers, &ControllerRow::slot, fault.name,
                         [](ControllerRow& row) {
                             row.role = row.role == Role::leading ? Role::ready : Role::leading;
                         });
            break;
        }
    }
    return snapshot;
}

} // namespace slotwitness::chassis
