// SPDX-License-Identifier: BSL-1.0
// An oracle network handed to a circuit simulator, ngspice in this process.
#pragma once

#include <ngspice/sharedspice.h>

#include <cstdio>
#include <cstring>
#include <stdexcept>
#include <string>
#include <vector>

#include "support/dense_network.hpp"

namespace tapewright::test {

/// One ngspice for the whole program; it keeps its state in globals.
class spice {
 public:
  static spice& the() {
    static spice one;
    return one;
  }

  /// The netlist of a network: resistors, sources, loads as behavioural currents. Constant power is
  /// P / v down to the limit and a straight line to zero below it, which the simulator may pass on its
  /// way but must not end on; every node of a common conductor starts at the source voltage.
  static std::vector<std::string> netlist(const dense_network& net) {
    std::vector<std::string> lines = {"network"};
    char line[400];
    int number = 0;
    double source = 0;
    net.each_fixed([&](int n, long double volts) {
      source = static_cast<double>(volts);
      std::snprintf(line, sizeof line, "V%d n%d 0 %.17g", number++, n, source);
      lines.emplace_back(line);
    });
    const auto name = [](int n) { return n == 0 ? std::string{"0"} : "n" + std::to_string(n); };
    net.each_resistor([&](int a, int b, long double siemens) {
      std::snprintf(line, sizeof line, "R%d %s %s %.17g", number++, name(a).c_str(), name(b).c_str(),
                    static_cast<double>(1 / siemens));
      lines.emplace_back(line);
    });
    std::string starts;
    net.each_load([&](int a, int b, const nodal_load& l) {
      const std::string v = b == 0 ? "v(" + name(a) + ")" : "v(" + name(a) + "," + name(b) + ")";
      const auto amps = static_cast<double>(l.nominal_w / l.nominal_v);
      char law[300];
      switch (l.kind) {
        case nodal_load::law::resistor_limited:
          std::snprintf(law, sizeof law, "max(0,(%s-%.17g)*%.17g)", v.c_str(), static_cast<double>(l.knee_v),
                        static_cast<double>(l.nominal_w / l.nominal_v / (l.nominal_v - l.knee_v)));
          break;
        case nodal_load::law::regulated:
          std::snprintf(
              law, sizeof law, "max(0,min(%.17g,%s*%.17g))", amps, v.c_str(),
              static_cast<double>(l.nominal_w / l.nominal_v / (l.knee_v < 1e-3L ? 1e-3L : l.knee_v)));
          break;
        case nodal_load::law::constant_power: {
          const auto low = static_cast<double>(l.knee_v > 0.1L ? l.knee_v : 0.1L);
          std::snprintf(law, sizeof law, "%s > %.17g ? %.17g/%s : %.17g*%s", v.c_str(), low,
                        static_cast<double>(l.nominal_w), v.c_str(),
                        static_cast<double>(l.nominal_w) / (low * low), v.c_str());
          char start[100];
          std::snprintf(start, sizeof start, ".nodeset v(%s)=%.17g", name(a).c_str(), source);
          lines.emplace_back(start);
          break;
        }
      }
      std::snprintf(line, sizeof line, "B%d %s %s I=%s", number++, name(a).c_str(), name(b).c_str(), law);
      lines.emplace_back(line);
    });
    lines.emplace_back(".options reltol=1e-9 abstol=1e-15 vntol=1e-12 itl1=500");
    lines.emplace_back(".op");
    lines.emplace_back(".end");
    return lines;
  }

  void load(std::vector<std::string>& lines) {
    std::vector<char*> text;
    for (std::string& l : lines) text.push_back(l.data());
    text.push_back(nullptr);
    if (ngSpice_Circ(text.data()) != 0) throw std::runtime_error("ngspice refuses the netlist");
  }
  void run() {
    if (ngSpice_Command(const_cast<char*>("op")) != 0) throw std::runtime_error("ngspice did not run");
  }
  double voltage(int node) const {
    if (node == 0) return 0;
    std::string name = "n" + std::to_string(node);
    const pvector_info v = ngGet_Vec_Info(name.data());
    if (v == nullptr || v->v_realdata == nullptr) throw std::runtime_error("ngspice has no " + name);
    return v->v_realdata[0];
  }
  /// Of all runs; the circuit stays.
  void drop_results() { ngSpice_Command(const_cast<char*>("destroy all")); }
  void forget() {
    drop_results();
    ngSpice_Command(const_cast<char*>("remcirc"));
  }
  /// What it last complained about.
  const std::string& words() const { return words_; }

 private:
  spice() {
    const auto heard = [](char* text, int, void* self) {
      if (std::strstr(text, "rror") != nullptr || std::strstr(text, "arning") != nullptr)
        static_cast<spice*>(self)->words_ = text;
      return 0;
    };
    ngSpice_Init(
        heard, [](char*, int, void*) { return 0; }, [](int, bool, bool, int, void*) { return 0; },
        [](pvecvaluesall, int, int, void*) { return 0; }, [](pvecinfoall, int, void*) { return 0; },
        [](bool, int, void*) { return 0; }, this);
  }
  std::string words_;
};

}  // namespace tapewright::test
