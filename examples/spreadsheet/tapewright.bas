Attribute VB_Name = "Tapewright"
' SPDX-License-Identifier: BSL-1.0
' LED tape orders in the cells of Excel for Windows, 64 bit. Made by examples/spreadsheet/make_bas: change that, not this.
'
' Put tapewright.dll into the folder of the workbook and import this module (Alt+F11, File, Import).
'
'   =TwTwoWireDrop(A2,B2,C2)            0.2, or an error when a figure makes no sense: never 0
'   =TwTwoWireDrop(A2,B2,C2,"why")      which argument was refused, and what it takes
'   =TwCutLength(4.63,0.05,"dark_m")    another output than the first; "all" gives all of them in a row
'
' #VALUE! is shown for an empty cell, a text or a broken whole number, and where the library is missing; #NUM! where the
' library refuses. TwSelfCheck() tells whether the library is found and gives the right bits.
'
' A calculation is no approval: local code, the makers' instructions and a qualified person come before it. Isolate before
' any work; fuse every output; never join two outputs.
Option Explicit

Private Const TW_VALUE As Long = 2015 ' #VALUE!
Private Const TW_NUM As Long = 2036 ' #NUM!
Private Const TW_ABI_VERSION As Long = 2
Private Const TW_FAULT_BYTES As Long = 40

Private Type TwFault
  struct_size As Long
  code As Long
  field As Long
  item As Long
  given As Double
  least As Double
  most As Double
End Type

Private Declare PtrSafe Function LoadLibraryW Lib "kernel32" (ByVal path As LongPtr) As LongPtr
Private Declare PtrSafe Function lstrlenA Lib "kernel32" (ByVal text As LongPtr) As Long
Private Declare PtrSafe Sub RtlMoveMemory Lib "kernel32" (ByRef target As Any, ByVal source As LongPtr, ByVal bytes As LongPtr)

Private Declare PtrSafe Function c_abi_version Lib "tapewright.dll" Alias "tw_abi_version" () As Long
Private Declare PtrSafe Function c_version_text Lib "tapewright.dll" Alias "tw_version_text" () As LongPtr
Private Declare PtrSafe Function c_status_text Lib "tapewright.dll" Alias "tw_status_text" ( _
    ByVal status As Long) As LongPtr
Private Declare PtrSafe Function c_field_name Lib "tapewright.dll" Alias "tw_field_name" ( _
    ByVal field As Long) As LongPtr
Private Declare PtrSafe Function c_field_unit Lib "tapewright.dll" Alias "tw_field_unit" ( _
    ByVal field As Long) As LongPtr
Private Declare PtrSafe Function c_field_text Lib "tapewright.dll" Alias "tw_field_text" ( _
    ByVal field As Long) As LongPtr
Private Declare PtrSafe Function c_cut_length Lib "tapewright.dll" Alias "tw_cut_length" ( _
    ByVal measured_m As Double, ByVal cut_pitch_m As Double, ByRef segments As LongLong, ByRef length_m As Double, _
    ByRef dark_m As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_sale_units Lib "tapewright.dll" Alias "tw_sale_units" (ByVal need_m As Double, _
    ByVal sale_quantum_m As Double, ByRef units As LongLong, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_sale Lib "tapewright.dll" Alias "tw_sale" (ByVal need_m As Double, _
    ByVal sale_quantum_m As Double, ByVal reel_m As Double, ByRef units As LongLong, ByRef reels As LongLong, _
    ByRef sold_m As Double, ByRef spare_m As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_price_to_pay Lib "tapewright.dll" Alias "tw_price_to_pay" ( _
    ByVal net_minor As LongLong, ByVal discount_bp As Long, ByVal tax_bp As Long, _
    ByRef discount_minor As LongLong, ByRef taxable_minor As LongLong, ByRef tax_minor As LongLong, _
    ByRef gross_minor As LongLong, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_channel_load Lib "tapewright.dll" Alias "tw_channel_load" ( _
    ByVal load_w_per_m As Double, ByVal nominal_v As Double, ByVal length_m As Double, ByRef power_w As Double, _
    ByRef current_a As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_load_current Lib "tapewright.dll" Alias "tw_load_current" (ByVal law As Long, _
    ByVal power_w As Double, ByVal nominal_v As Double, ByVal knee_v As Double, ByVal voltage_v As Double, _
    ByRef current_a As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_copper_resistance Lib "tapewright.dll" Alias "tw_copper_resistance" ( _
    ByVal resistance_20_ohm_per_m As Double, ByVal temperature_c As Double, ByRef resistance_ohm_per_m As Double, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_metric_resistance Lib "tapewright.dll" Alias "tw_metric_resistance" ( _
    ByVal conductor_class As Long, ByVal area_mm2 As Double, ByVal temperature_c As Double, _
    ByRef resistance_ohm_per_m As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_awg_resistance Lib "tapewright.dll" Alias "tw_awg_resistance" ( _
    ByVal awg As Long, ByVal temperature_c As Double, ByRef resistance_ohm_per_m As Double, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_awg_area Lib "tapewright.dll" Alias "tw_awg_area" (ByVal awg As Long, _
    ByRef area_mm2 As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_metric_ampacity Lib "tapewright.dll" Alias "tw_metric_ampacity" ( _
    ByVal code_family As Long, ByVal method As Long, ByVal area_mm2 As Double, ByVal conductor_limit_c As Double, _
    ByVal loaded_conductors As Long, ByVal ambient_c As Double, ByVal circuits_grouped As Long, _
    ByVal grouping As Long, ByRef allowed_a As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_awg_ampacity Lib "tapewright.dll" Alias "tw_awg_ampacity" ( _
    ByVal code_family As Long, ByVal method As Long, ByVal awg As Long, ByVal conductor_limit_c As Double, _
    ByVal loaded_conductors As Long, ByVal ambient_c As Double, ByVal circuits_grouped As Long, _
    ByVal grouping As Long, ByRef allowed_a As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_two_wire_drop Lib "tapewright.dll" Alias "tw_two_wire_drop" ( _
    ByVal current_a As Double, ByVal resistance_ohm_per_m As Double, ByVal one_way_m As Double, _
    ByRef drop_v As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_feeder_drop Lib "tapewright.dll" Alias "tw_feeder_drop" ( _
    ByVal common_a As Double, ByVal own_a As Double, ByVal resistance_ohm_per_m As Double, _
    ByVal one_way_m As Double, ByRef drop_v As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_least_area Lib "tapewright.dll" Alias "tw_least_area" ( _
    ByVal current_a As Double, ByVal one_way_m As Double, ByVal allowed_v As Double, _
    ByVal resistivity_ohm_mm2_per_m As Double, ByRef area_mm2 As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_longest_two_wire Lib "tapewright.dll" Alias "tw_longest_two_wire" ( _
    ByVal current_a As Double, ByVal nominal_v As Double, ByVal drop_limit As Double, _
    ByVal conductor_class As Long, ByVal area_mm2 As Double, ByVal temperature_c As Double, _
    ByRef one_way_m As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_contact_current Lib "tapewright.dll" Alias "tw_contact_current" ( _
    ByVal rated_a As Double, ByVal rating_ambient_c As Double, ByVal upper_limit_c As Double, _
    ByVal ambient_c As Double, ByVal curve_factor As Double, ByRef allowed_a As Double, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_contact_utilisation Lib "tapewright.dll" Alias "tw_contact_utilisation" ( _
    ByVal current_a As Double, ByVal rated_a As Double, ByVal rating_ambient_c As Double, _
    ByVal upper_limit_c As Double, ByVal ambient_c As Double, ByVal curve_factor As Double, _
    ByRef allowed_a As Double, ByRef utilisation As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_controller_utilisation Lib "tapewright.dll" Alias "tw_controller_utilisation" ( _
    ByRef channel_a As Double, ByVal channels As Long, ByVal total_a As Double, ByVal channel_limit_a As Double, _
    ByVal total_limit_a As Double, ByVal terminal_a As Double, ByRef channel_utilisation As Double, _
    ByRef total_utilisation As Double, ByRef terminal_utilisation As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_controllers_needed Lib "tapewright.dll" Alias "tw_controllers_needed" ( _
    ByRef channel_a As Double, ByVal channels As Long, ByVal total_a As Double, ByVal channel_limit_a As Double, _
    ByVal total_limit_a As Double, ByVal terminal_a As Double, ByRef needed As Long, ByRef governed As Long, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_least_capacity Lib "tapewright.dll" Alias "tw_least_capacity" ( _
    ByVal load_w As Double, ByVal headroom As Double, ByRef capacity_w As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_greatest_load Lib "tapewright.dll" Alias "tw_greatest_load" ( _
    ByVal capacity_w As Double, ByVal headroom As Double, ByRef load_w As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_loading_limit Lib "tapewright.dll" Alias "tw_loading_limit" ( _
    ByVal headroom As Double, ByRef loading_limit As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_headroom Lib "tapewright.dll" Alias "tw_headroom" ( _
    ByVal loading_limit As Double, ByRef headroom As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_derated_share Lib "tapewright.dll" Alias "tw_derated_share" ( _
    ByRef curve_c As Double, ByRef curve_share As Double, ByVal points As Long, ByVal ambient_c As Double, _
    ByRef share As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_two_point_share Lib "tapewright.dll" Alias "tw_two_point_share" ( _
    ByVal full_to_c As Double, ByVal last_c As Double, ByVal last_share As Double, ByVal ambient_c As Double, _
    ByRef share As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_driver_utilisation Lib "tapewright.dll" Alias "tw_driver_utilisation" ( _
    ByVal load_w As Double, ByVal headroom As Double, ByVal output_v As Double, ByVal rated_output_w As Double, _
    ByVal full_to_c As Double, ByVal last_c As Double, ByVal last_share As Double, ByVal ambient_c As Double, _
    ByRef capacity_w As Double, ByRef needed_w As Double, ByRef utilisation As Double, _
    ByRef headroom_left As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_class2_limit Lib "tapewright.dll" Alias "tw_class2_limit" ( _
    ByVal output_v As Double, ByRef rated_a As Double, ByRef rated_va As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_operating_current Lib "tapewright.dll" Alias "tw_operating_current" ( _
    ByVal overcurrent_family As Long, ByVal fuse_a As Double, ByRef factor As Double, ByRef operating_a As Double, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_far_end_fault Lib "tapewright.dll" Alias "tw_far_end_fault" ( _
    ByVal voltage_v As Double, ByVal fault_loop_ohm As Double, ByVal source_limit_a As Double, _
    ByRef fault_a As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_overcurrent_utilisation Lib "tapewright.dll" Alias "tw_overcurrent_utilisation" ( _
    ByVal overcurrent_family As Long, ByVal fuse_a As Double, ByVal load_a As Double, ByVal ampacity_a As Double, _
    ByVal voltage_v As Double, ByVal fault_loop_ohm As Double, ByVal source_limit_a As Double, _
    ByRef load_utilisation As Double, ByRef cable_utilisation As Double, ByRef operating_utilisation As Double, _
    ByRef fault_utilisation As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_mains_current Lib "tapewright.dll" Alias "tw_mains_current" ( _
    ByVal output_w As Double, ByVal efficiency As Double, ByVal power_factor As Double, ByVal mains_v As Double, _
    ByRef input_w As Double, ByRef apparent_va As Double, ByRef current_a As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_drivers_per_breaker Lib "tapewright.dll" Alias "tw_drivers_per_breaker" ( _
    ByVal output_w As Double, ByVal efficiency As Double, ByVal power_factor As Double, ByVal mains_v As Double, _
    ByVal inrush_a As Double, ByVal breaker_a As Double, ByVal breaker_family As Long, _
    ByVal breaker_share As Double, ByRef by_steady As Long, ByRef by_inrush As Long, ByRef count As Long, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_breaker_utilisation Lib "tapewright.dll" Alias "tw_breaker_utilisation" ( _
    ByVal steady_a As Double, ByVal inrush_a As Double, ByVal breaker_a As Double, ByVal breaker_family As Long, _
    ByVal breaker_share As Double, ByRef steady_utilisation As Double, ByRef inrush_utilisation As Double, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_leakage_utilisation Lib "tapewright.dll" Alias "tw_leakage_utilisation" ( _
    ByVal leakage_sum_a As Double, ByVal residual_a As Double, ByVal share As Double, ByRef limit_a As Double, _
    ByRef utilisation As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_yearly_energy Lib "tapewright.dll" Alias "tw_yearly_energy" ( _
    ByVal input_w As Double, ByVal hours_per_year As Double, ByRef energy_kwh As Double, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_energy_cost Lib "tapewright.dll" Alias "tw_energy_cost" ( _
    ByVal energy_kwh As Double, ByVal tariff_minor_per_kwh As Double, ByRef cost_minor As LongLong, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_lightness Lib "tapewright.dll" Alias "tw_lightness" ( _
    ByVal luminance_ratio As Double, ByRef lightness As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_luminance_ratio Lib "tapewright.dll" Alias "tw_luminance_ratio" ( _
    ByVal lightness As Double, ByRef luminance_ratio As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_line_workspace Lib "tapewright.dll" Alias "tw_line_workspace" ( _
    ByVal segments As LongLong, ByVal channels As Long, ByRef doubles As LongLong, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_feed_workspace Lib "tapewright.dll" Alias "tw_feed_workspace" ( _
    ByVal segments As LongLong, ByVal channels As Long, ByVal points As Long, ByRef doubles As LongLong, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_warm_conductor Lib "tapewright.dll" Alias "tw_warm_conductor" ( _
    ByVal current_a As Double, ByVal rated_a As Double, ByVal rated_ambient_c As Double, ByVal limit_c As Double, _
    ByVal ambient_c As Double, ByRef conductor_c As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_per_kelvin Lib "tapewright.dll" Alias "tw_per_kelvin" ( _
    ByVal of_itself_v As Double, ByVal copper_c As Double, ByRef v_per_k As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_copper_range Lib "tapewright.dll" Alias "tw_copper_range" ( _
    ByVal at_c As Double, ByVal least_c As Double, ByVal most_c As Double, ByVal share As Double, _
    ByRef least As Double, ByRef most As Double, ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_single_line Lib "tapewright.dll" Alias "tw_single_line" (ByVal law As Long, _
    ByVal load_w_per_m As Double, ByVal nominal_v As Double, ByVal knee_v As Double, _
    ByVal common_ohm_per_m As Double, ByVal return_ohm_per_m As Double, ByVal cut_pitch_m As Double, _
    ByVal measured_m As Double, ByVal trace_c As Double, ByVal source_v As Double, ByVal feed_ohm As Double, _
    ByRef last_v As Double, ByRef evenness As Double, ByRef lightness_step As Double, ByRef current_a As Double, _
    ByRef why As TwFault) As Long
Private Declare PtrSafe Function c_single_longest Lib "tapewright.dll" Alias "tw_single_longest" ( _
    ByVal law As Long, ByVal load_w_per_m As Double, ByVal nominal_v As Double, ByVal knee_v As Double, _
    ByVal common_ohm_per_m As Double, ByVal return_ohm_per_m As Double, ByVal cut_pitch_m As Double, _
    ByVal trace_c As Double, ByVal source_v As Double, ByVal feed_ohm As Double, ByVal least_evenness As Double, _
    ByRef segments As LongLong, ByRef length_m As Double, ByRef why As TwFault) As Long

' ---- what all cell functions share ----

Private loaded As Boolean

' True when the library is there and new enough; it is looked for beside the workbook first.
Private Function TwReady(ByRef told As String) As Boolean
  On Error GoTo Missing
  If Not loaded Then
    LoadLibraryW StrPtr(ThisWorkbook.Path & "\tapewright.dll")
    If c_abi_version() < TW_ABI_VERSION Then
      told = "tapewright.dll is older than this module"
      Exit Function
    End If
    loaded = True
  End If
  TwReady = True
  Exit Function
Missing:
  told = "tapewright.dll was not found beside the workbook: " & Err.Description
End Function

' A text of the library: the bytes up to the zero, plain English letters.
Private Function TwText(ByVal at As LongPtr) As String
  Dim bytes() As Byte, length As Long
  length = lstrlenA(at)
  If length = 0 Then Exit Function
  ReDim bytes(0 To length - 1)
  RtlMoveMemory bytes(0), at, length
  TwText = StrConv(bytes, vbUnicode)
End Function

' The value of a cell or a figure; a range of several cells comes back as an array.
Private Function TwValue(ByVal given As Variant) As Variant
  If IsObject(given) Then TwValue = TwCells(given) Else TwValue = given
End Function

Private Function TwCells(ByVal cells As Object) As Variant
  TwCells = cells.Value2
End Function

' The number given, or what is wrong with it.
Private Function TwNumber(ByVal given As Variant, ByVal name As String, ByVal takes As String, ByRef number As Double, _
    ByRef told As String) As Boolean
  Dim value As Variant
  value = TwValue(given)
  If IsArray(value) Then
    told = name & ": more than one cell; takes " & takes
  ElseIf IsError(value) Then
    told = name & ": the cell shows an error; takes " & takes
  ElseIf IsEmpty(value) Then
    told = name & ": the cell is empty; takes " & takes
  ElseIf VarType(value) = vbString Then
    told = name & ": the text """ & value & """ is not a number; takes " & takes
  ElseIf VarType(value) = vbBoolean Or Not IsNumeric(value) Then
    told = name & ": not a number; takes " & takes
  Else
    number = CDbl(value)
    TwNumber = True
  End If
End Function

' The same for a whole number between -2^31 and 2^31 - 1.
Private Function TwWhole(ByVal given As Variant, ByVal name As String, ByVal takes As String, ByRef whole As Long, _
    ByRef told As String) As Boolean
  Dim number As Double
  If Not TwNumber(given, name, takes, number, told) Then Exit Function
  If number <> Int(number) Then
    told = name & ": " & Trim$(Str$(number)) & " is not a whole number; takes " & takes
  ElseIf number < -2147483648# Or number > 2147483647# Then
    told = name & ": " & Trim$(Str$(number)) & " is outside; takes " & takes
  Else
    whole = CLng(number)
    TwWhole = True
  End If
End Function

' The numbers of a range, row by row; empty cells at its end do not count.
Private Function TwNumbers(ByVal given As Variant, ByVal name As String, ByVal takes As String, ByRef numbers() As Double, _
    ByRef count As Long, ByRef told As String) As Boolean
  Dim value As Variant, cells As Variant, all As New Collection, cell As Variant, row As Long, column As Long
  cells = TwValue(given)
  If Not IsArray(cells) Then
    all.Add cells
  Else
    For row = LBound(cells, 1) To UBound(cells, 1)
      For column = LBound(cells, 2) To UBound(cells, 2)
        all.Add cells(row, column)
      Next column
    Next row
  End If
  Do While all.Count > 0
    If Not IsEmpty(all(all.Count)) Then Exit Do
    all.Remove all.Count
  Loop
  If all.Count = 0 Then
    told = name & ": the range is empty; takes " & takes
    Exit Function
  End If
  If count > 0 And count <> all.Count Then
    told = name & ": " & all.Count & " cells beside " & count
    Exit Function
  End If
  count = all.Count
  ReDim numbers(0 To count - 1)
  For row = 1 To count
    If Not TwNumber(all(row), name, takes, numbers(row - 1), told) Then Exit Function
  Next row
  TwNumbers = True
End Function

' A fault of the library in words.
Private Function TwTold(ByRef why As TwFault) As String
  TwTold = TwText(c_field_name(why.field)) & ": " & Trim$(Str$(why.given)) & ": " & TwText(c_status_text(why.code)) & _
    "; takes " & Trim$(Str$(why.least)) & " to " & Trim$(Str$(why.most)) & " " & TwText(c_field_unit(why.field)) & " (" & _
    TwText(c_field_text(why.field)) & ")"
End Function

' What the last argument asks for; nothing where it is left out.
Private Function TwWish(Optional ByVal which As Variant) As String
  If Not IsMissing(which) Then TwWish = CStr(TwValue(which))
End Function

' The output asked for, of those there are.
Private Function TwPick(ByVal wish As String, ByVal names As Variant, ByVal outputs As Variant) As Variant
  Dim place As Long
  TwPick = CVErr(TW_VALUE)
  If wish = "" Then TwPick = outputs(0)
  If wish = "all" Then TwPick = outputs
  If wish = "why" Then TwPick = "ok"
  For place = LBound(names) To UBound(names)
    If wish = names(place) Then TwPick = outputs(place)
  Next place
End Function

' Release, interface, and whether a known row has its known bits: 2 A over 4 m of 0.0125 ohm/m are 0.2 V.
Public Function TwSelfCheck() As Variant
  Dim told As String, drop As Double, why As TwFault
  On Error GoTo Failed
  If Not TwReady(told) Then
    TwSelfCheck = told
    Exit Function
  End If
  why.struct_size = TW_FAULT_BYTES
  If c_two_wire_drop(2, 0.0125, 4, drop, why) = 0 And drop = 0.2 Then told = "found, bits good" Else told = "WRONG BITS"
  TwSelfCheck = "tapewright " & TwText(c_version_text()) & ", interface " & c_abi_version() & ": " & told
  Exit Function
Failed:
  TwSelfCheck = "tapewright.dll does not answer: " & Err.Description
End Function

' ---- the cell functions ----

' whole cut segments that a wall takes, their length, what stays dark; outputs: segments, length_m, dark_m
Public Function TwCutLength(ByVal measured_m As Variant, ByVal cut_pitch_m As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_measured_m As Double, in_cut_pitch_m As Double, out_segments As LongLong, out_length_m As Double, _
    out_dark_m As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwCutLength = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(measured_m, "measured_m", _
    "0.001 to 1000 m (length measured on the wall)", in_measured_m, told) Then GoTo Refused
  If Not TwNumber(cut_pitch_m, "cut_pitch_m", _
    "0.001 to 5 m (distance between cut marks)", in_cut_pitch_m, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_cut_length(in_measured_m, in_cut_pitch_m, out_segments, out_length_m, out_dark_m, why) <> 0 Then
    told = TwTold(why)
    TwCutLength = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwCutLength = TwPick(TwWish(which), Array("segments", "length_m", "dark_m"), _
    Array(CDbl(out_segments), out_length_m, out_dark_m))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwCutLength = told
  Exit Function
Failed:
  TwCutLength = CVErr(TW_VALUE)
End Function

' whole sale quanta that cover a need; outputs: units
Public Function TwSaleUnits(ByVal need_m As Variant, ByVal sale_quantum_m As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_need_m As Double, in_sale_quantum_m As Double, out_units As LongLong, why As TwFault, told As String
  On Error GoTo Failed
  TwSaleUnits = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(need_m, "need_m", "0 to 10000 m (length)", in_need_m, told) Then GoTo Refused
  If Not TwNumber(sale_quantum_m, "sale_quantum_m", _
    "0.001 to 1000 m (length in which it is sold)", in_sale_quantum_m, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_sale_units(in_need_m, in_sale_quantum_m, out_units, why) <> 0 Then
    told = TwTold(why)
    TwSaleUnits = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwSaleUnits = TwPick(TwWish(which), Array("units"), Array(CDbl(out_units)))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwSaleUnits = told
  Exit Function
Failed:
  TwSaleUnits = CVErr(TW_VALUE)
End Function

' a need as it is sold, on full reels as far as possible; outputs: units, reels, sold_m, spare_m
Public Function TwSale(ByVal need_m As Variant, ByVal sale_quantum_m As Variant, ByVal reel_m As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_need_m As Double, in_sale_quantum_m As Double, in_reel_m As Double, out_units As LongLong, _
    out_reels As LongLong, out_sold_m As Double, out_spare_m As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwSale = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(need_m, "need_m", "0 to 10000 m (length)", in_need_m, told) Then GoTo Refused
  If Not TwNumber(sale_quantum_m, "sale_quantum_m", _
    "0.001 to 1000 m (length in which it is sold)", in_sale_quantum_m, told) Then GoTo Refused
  If Not TwNumber(reel_m, "reel_m", _
    "0 to 1000 m (length of a full reel; 0 = not sold by the reel)", in_reel_m, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_sale(in_need_m, in_sale_quantum_m, in_reel_m, out_units, out_reels, out_sold_m, out_spare_m, why) <> 0 Then
    told = TwTold(why)
    TwSale = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwSale = TwPick(TwWish(which), Array("units", "reels", "sold_m", "spare_m"), _
    Array(CDbl(out_units), CDbl(out_reels), out_sold_m, out_spare_m))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwSale = told
  Exit Function
Failed:
  TwSale = CVErr(TW_VALUE)
End Function

' what is paid for a net price, less a discount and with tax; outputs: discount_minor, taxable_minor, tax_minor, gross_minor
Public Function TwPriceToPay(ByVal net_minor As Variant, ByVal discount_bp As Variant, ByVal tax_bp As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_net_minor As Long, in_discount_bp As Long, in_tax_bp As Long, out_discount_minor As LongLong, _
    out_taxable_minor As LongLong, out_tax_minor As LongLong, out_gross_minor As LongLong, why As TwFault, _
    told As String
  On Error GoTo Failed
  TwPriceToPay = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(net_minor, "net_minor", _
    "0 to 4e+15 minor units (price in whole minor units; 0 = not known)", in_net_minor, told) Then GoTo Refused
  If Not TwWhole(discount_bp, "discount_bp", _
    "0 to 10000 (share in hundredths of a per cent)", in_discount_bp, told) Then GoTo Refused
  If Not TwWhole(tax_bp, "tax_bp", _
    "0 to 100000 (share in hundredths of a per cent)", in_tax_bp, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_price_to_pay(in_net_minor, in_discount_bp, in_tax_bp, out_discount_minor, out_taxable_minor, out_tax_minor, _
    out_gross_minor, why) <> 0 Then
    told = TwTold(why)
    TwPriceToPay = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwPriceToPay = TwPick(TwWish(which), Array("discount_minor", "taxable_minor", "tax_minor", "gross_minor"), _
    Array(CDbl(out_discount_minor), CDbl(out_taxable_minor), CDbl(out_tax_minor), CDbl(out_gross_minor)))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwPriceToPay = told
  Exit Function
Failed:
  TwPriceToPay = CVErr(TW_VALUE)
End Function

' power and current of one channel of a length of tape; outputs: power_w, current_a
Public Function TwChannelLoad(ByVal load_w_per_m As Variant, ByVal nominal_v As Variant, _
    ByVal length_m As Variant, Optional ByVal which As Variant) As Variant
  Dim in_load_w_per_m As Double, in_nominal_v As Double, in_length_m As Double, out_power_w As Double, _
    out_current_a As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwChannelLoad = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(load_w_per_m, "load_w_per_m", _
    "0.001 to 200 W/m (nominal power of a tape channel per metre)", in_load_w_per_m, told) Then GoTo Refused
  If Not TwNumber(nominal_v, "nominal_v", "3 to 60 V (nominal voltage)", in_nominal_v, told) Then GoTo Refused
  If Not TwNumber(length_m, "length_m", "0 to 10000 m (length)", in_length_m, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_channel_load(in_load_w_per_m, in_nominal_v, in_length_m, out_power_w, out_current_a, why) <> 0 Then
    told = TwTold(why)
    TwChannelLoad = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwChannelLoad = TwPick(TwWish(which), Array("power_w", "current_a"), Array(out_power_w, out_current_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwChannelLoad = told
  Exit Function
Failed:
  TwChannelLoad = CVErr(TW_VALUE)
End Function

' current of a load at another voltage than its nominal one; outputs: current_a
Public Function TwLoadCurrent(ByVal law As Variant, ByVal power_w As Variant, ByVal nominal_v As Variant, _
    ByVal knee_v As Variant, ByVal voltage_v As Variant, Optional ByVal which As Variant) As Variant
  Dim in_law As Long, in_power_w As Double, in_nominal_v As Double, in_knee_v As Double, in_voltage_v As Double, _
    out_current_a As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLoadCurrent = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(law, "law", _
    "0 to 2 (0 = resistor-limited, 1 = regulated, 2 = constant power)", in_law, told) Then GoTo Refused
  If Not TwNumber(power_w, "power_w", "0 to 1000000 W (power)", in_power_w, told) Then GoTo Refused
  If Not TwNumber(nominal_v, "nominal_v", "3 to 60 V (nominal voltage)", in_nominal_v, told) Then GoTo Refused
  If Not TwNumber(knee_v, "knee_v", _
    "0 to 60 V (voltage below which a channel is dark, or stops regulating)", in_knee_v, told) Then GoTo Refused
  If Not TwNumber(voltage_v, "voltage_v", _
    "0.1 to 120 V (direct voltage of the lighting side (IEC 61140: ELV ends at 120 V))", in_voltage_v, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_load_current(in_law, in_power_w, in_nominal_v, in_knee_v, in_voltage_v, out_current_a, why) <> 0 Then
    told = TwTold(why)
    TwLoadCurrent = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLoadCurrent = TwPick(TwWish(which), Array("current_a"), Array(out_current_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLoadCurrent = told
  Exit Function
Failed:
  TwLoadCurrent = CVErr(TW_VALUE)
End Function

' resistance of copper at a temperature; outputs: resistance_ohm_per_m
Public Function TwCopperResistance(ByVal resistance_20_ohm_per_m As Variant, ByVal temperature_c As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_resistance_20_ohm_per_m As Double, in_temperature_c As Double, out_resistance_ohm_per_m As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwCopperResistance = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(resistance_20_ohm_per_m, "resistance_20_ohm_per_m", _
    "0 to 1000 ohm/m (resistance of ONE conductor per metre)", in_resistance_20_ohm_per_m, told) Then GoTo Refused
  If Not TwNumber(temperature_c, "temperature_c", _
    "-60 to 200 degC (conductor temperature)", in_temperature_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_copper_resistance(in_resistance_20_ohm_per_m, in_temperature_c, out_resistance_ohm_per_m, why) <> 0 Then
    told = TwTold(why)
    TwCopperResistance = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwCopperResistance = TwPick(TwWish(which), Array("resistance_ohm_per_m"), Array(out_resistance_ohm_per_m))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwCopperResistance = told
  Exit Function
Failed:
  TwCopperResistance = CVErr(TW_VALUE)
End Function

' resistance of one conductor of a metric size; outputs: resistance_ohm_per_m
Public Function TwMetricResistance(ByVal conductor_class As Variant, ByVal area_mm2 As Variant, _
    ByVal temperature_c As Variant, Optional ByVal which As Variant) As Variant
  Dim in_conductor_class As Long, in_area_mm2 As Double, in_temperature_c As Double, _
    out_resistance_ohm_per_m As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwMetricResistance = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(conductor_class, "conductor_class", _
    "1 to 5 (IEC 60228 class: 1, 2 or 5)", in_conductor_class, told) Then GoTo Refused
  If Not TwNumber(area_mm2, "area_mm2", _
    "0.01 to 1000 mm2 (conductor cross-section)", in_area_mm2, told) Then GoTo Refused
  If Not TwNumber(temperature_c, "temperature_c", _
    "-60 to 200 degC (conductor temperature)", in_temperature_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_metric_resistance(in_conductor_class, in_area_mm2, in_temperature_c, out_resistance_ohm_per_m, _
    why) <> 0 Then
    told = TwTold(why)
    TwMetricResistance = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwMetricResistance = TwPick(TwWish(which), Array("resistance_ohm_per_m"), Array(out_resistance_ohm_per_m))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwMetricResistance = told
  Exit Function
Failed:
  TwMetricResistance = CVErr(TW_VALUE)
End Function

' resistance of one conductor of an American gauge; outputs: resistance_ohm_per_m
Public Function TwAwgResistance(ByVal awg As Variant, ByVal temperature_c As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_awg As Long, in_temperature_c As Double, out_resistance_ohm_per_m As Double, why As TwFault, _
    told As String
  On Error GoTo Failed
  TwAwgResistance = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(awg, "awg", _
    "-3 to 40 AWG (American wire gauge; 0 = 1/0, -1 = 2/0, -2 = 3/0, -3 = 4/0)", in_awg, told) Then GoTo Refused
  If Not TwNumber(temperature_c, "temperature_c", _
    "-60 to 200 degC (conductor temperature)", in_temperature_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_awg_resistance(in_awg, in_temperature_c, out_resistance_ohm_per_m, why) <> 0 Then
    told = TwTold(why)
    TwAwgResistance = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwAwgResistance = TwPick(TwWish(which), Array("resistance_ohm_per_m"), Array(out_resistance_ohm_per_m))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwAwgResistance = told
  Exit Function
Failed:
  TwAwgResistance = CVErr(TW_VALUE)
End Function

' section of an American gauge; outputs: area_mm2
Public Function TwAwgArea(ByVal awg As Variant, Optional ByVal which As Variant) As Variant
  Dim in_awg As Long, out_area_mm2 As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwAwgArea = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(awg, "awg", _
    "-3 to 40 AWG (American wire gauge; 0 = 1/0, -1 = 2/0, -2 = 3/0, -3 = 4/0)", in_awg, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_awg_area(in_awg, out_area_mm2, why) <> 0 Then
    told = TwTold(why)
    TwAwgArea = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwAwgArea = TwPick(TwWish(which), Array("area_mm2"), Array(out_area_mm2))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwAwgArea = told
  Exit Function
Failed:
  TwAwgArea = CVErr(TW_VALUE)
End Function

' continuous current of a metric conductor where it lies; outputs: allowed_a
Public Function TwMetricAmpacity(ByVal code_family As Variant, ByVal method As Variant, ByVal area_mm2 As Variant, _
    ByVal conductor_limit_c As Variant, ByVal loaded_conductors As Variant, ByVal ambient_c As Variant, _
    ByVal circuits_grouped As Variant, ByVal grouping As Variant, Optional ByVal which As Variant) As Variant
  Dim in_code_family As Long, in_method As Long, in_area_mm2 As Double, in_conductor_limit_c As Double, _
    in_loaded_conductors As Long, in_ambient_c As Double, in_circuits_grouped As Long, in_grouping As Long, _
    out_allowed_a As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwMetricAmpacity = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(code_family, "code_family", _
    "0 to 1 (0 = IEC-based, 1 = NEC-based)", in_code_family, told) Then GoTo Refused
  If Not TwWhole(method, "method", _
    "0 to 7 (installation method, by its number in the list)", in_method, told) Then GoTo Refused
  If Not TwNumber(area_mm2, "area_mm2", _
    "0.01 to 1000 mm2 (conductor cross-section)", in_area_mm2, told) Then GoTo Refused
  If Not TwNumber(conductor_limit_c, "conductor_limit_c", _
    "40 to 200 degC (highest conductor temperature of the insulation)", in_conductor_limit_c, told) Then GoTo Refused
  If Not TwWhole(loaded_conductors, "loaded_conductors", _
    "1 to 200 (conductors that carry current in one cable)", in_loaded_conductors, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  If Not TwWhole(circuits_grouped, "circuits_grouped", _
    "1 to 20 (circuits or cables laid together)", in_circuits_grouped, told) Then GoTo Refused
  If Not TwWhole(grouping, "grouping", _
    "0 to 4 (0 = bunched, 1 = single layer on wall, 2 = under ceiling, 3 = perforated tray, 4 = ladder)", in_grouping, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_metric_ampacity(in_code_family, in_method, in_area_mm2, in_conductor_limit_c, in_loaded_conductors, _
    in_ambient_c, in_circuits_grouped, in_grouping, out_allowed_a, why) <> 0 Then
    told = TwTold(why)
    TwMetricAmpacity = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwMetricAmpacity = TwPick(TwWish(which), Array("allowed_a"), Array(out_allowed_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwMetricAmpacity = told
  Exit Function
Failed:
  TwMetricAmpacity = CVErr(TW_VALUE)
End Function

' continuous current of a gauge conductor where it lies; outputs: allowed_a
Public Function TwAwgAmpacity(ByVal code_family As Variant, ByVal method As Variant, ByVal awg As Variant, _
    ByVal conductor_limit_c As Variant, ByVal loaded_conductors As Variant, ByVal ambient_c As Variant, _
    ByVal circuits_grouped As Variant, ByVal grouping As Variant, Optional ByVal which As Variant) As Variant
  Dim in_code_family As Long, in_method As Long, in_awg As Long, in_conductor_limit_c As Double, _
    in_loaded_conductors As Long, in_ambient_c As Double, in_circuits_grouped As Long, in_grouping As Long, _
    out_allowed_a As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwAwgAmpacity = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(code_family, "code_family", _
    "0 to 1 (0 = IEC-based, 1 = NEC-based)", in_code_family, told) Then GoTo Refused
  If Not TwWhole(method, "method", _
    "0 to 7 (installation method, by its number in the list)", in_method, told) Then GoTo Refused
  If Not TwWhole(awg, "awg", _
    "-3 to 40 AWG (American wire gauge; 0 = 1/0, -1 = 2/0, -2 = 3/0, -3 = 4/0)", in_awg, told) Then GoTo Refused
  If Not TwNumber(conductor_limit_c, "conductor_limit_c", _
    "40 to 200 degC (highest conductor temperature of the insulation)", in_conductor_limit_c, told) Then GoTo Refused
  If Not TwWhole(loaded_conductors, "loaded_conductors", _
    "1 to 200 (conductors that carry current in one cable)", in_loaded_conductors, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  If Not TwWhole(circuits_grouped, "circuits_grouped", _
    "1 to 20 (circuits or cables laid together)", in_circuits_grouped, told) Then GoTo Refused
  If Not TwWhole(grouping, "grouping", _
    "0 to 4 (0 = bunched, 1 = single layer on wall, 2 = under ceiling, 3 = perforated tray, 4 = ladder)", in_grouping, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_awg_ampacity(in_code_family, in_method, in_awg, in_conductor_limit_c, in_loaded_conductors, in_ambient_c, _
    in_circuits_grouped, in_grouping, out_allowed_a, why) <> 0 Then
    told = TwTold(why)
    TwAwgAmpacity = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwAwgAmpacity = TwPick(TwWish(which), Array("allowed_a"), Array(out_allowed_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwAwgAmpacity = told
  Exit Function
Failed:
  TwAwgAmpacity = CVErr(TW_VALUE)
End Function

' voltage lost out and back in a two-conductor feeder; outputs: drop_v
Public Function TwTwoWireDrop(ByVal current_a As Variant, ByVal resistance_ohm_per_m As Variant, _
    ByVal one_way_m As Variant, Optional ByVal which As Variant) As Variant
  Dim in_current_a As Double, in_resistance_ohm_per_m As Double, in_one_way_m As Double, out_drop_v As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwTwoWireDrop = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(current_a, "current_a", "0 to 10000 A (current)", in_current_a, told) Then GoTo Refused
  If Not TwNumber(resistance_ohm_per_m, "resistance_ohm_per_m", _
    "0 to 1000 ohm/m (resistance of ONE conductor per metre)", in_resistance_ohm_per_m, told) Then GoTo Refused
  If Not TwNumber(one_way_m, "one_way_m", _
    "0 to 10000 m (route length, one way; the return is added where it belongs)", in_one_way_m, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_two_wire_drop(in_current_a, in_resistance_ohm_per_m, in_one_way_m, out_drop_v, why) <> 0 Then
    told = TwTold(why)
    TwTwoWireDrop = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwTwoWireDrop = TwPick(TwWish(which), Array("drop_v"), Array(out_drop_v))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwTwoWireDrop = told
  Exit Function
Failed:
  TwTwoWireDrop = CVErr(TW_VALUE)
End Function

' voltage lost by one channel of a cable with a common core; outputs: drop_v
Public Function TwFeederDrop(ByVal common_a As Variant, ByVal own_a As Variant, _
    ByVal resistance_ohm_per_m As Variant, ByVal one_way_m As Variant, Optional ByVal which As Variant) As Variant
  Dim in_common_a As Double, in_own_a As Double, in_resistance_ohm_per_m As Double, in_one_way_m As Double, _
    out_drop_v As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwFeederDrop = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(common_a, "common_a", "0 to 10000 A (current)", in_common_a, told) Then GoTo Refused
  If Not TwNumber(own_a, "own_a", "0 to 10000 A (current)", in_own_a, told) Then GoTo Refused
  If Not TwNumber(resistance_ohm_per_m, "resistance_ohm_per_m", _
    "0 to 1000 ohm/m (resistance of ONE conductor per metre)", in_resistance_ohm_per_m, told) Then GoTo Refused
  If Not TwNumber(one_way_m, "one_way_m", _
    "0 to 10000 m (route length, one way; the return is added where it belongs)", in_one_way_m, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_feeder_drop(in_common_a, in_own_a, in_resistance_ohm_per_m, in_one_way_m, out_drop_v, why) <> 0 Then
    told = TwTold(why)
    TwFeederDrop = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwFeederDrop = TwPick(TwWish(which), Array("drop_v"), Array(out_drop_v))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwFeederDrop = told
  Exit Function
Failed:
  TwFeederDrop = CVErr(TW_VALUE)
End Function

' smallest section that keeps a feeder within a drop; outputs: area_mm2
Public Function TwLeastArea(ByVal current_a As Variant, ByVal one_way_m As Variant, ByVal allowed_v As Variant, _
    ByVal resistivity_ohm_mm2_per_m As Variant, Optional ByVal which As Variant) As Variant
  Dim in_current_a As Double, in_one_way_m As Double, in_allowed_v As Double, _
    in_resistivity_ohm_mm2_per_m As Double, out_area_mm2 As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLeastArea = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(current_a, "current_a", "0 to 10000 A (current)", in_current_a, told) Then GoTo Refused
  If Not TwNumber(one_way_m, "one_way_m", _
    "0 to 10000 m (route length, one way; the return is added where it belongs)", in_one_way_m, told) Then GoTo Refused
  If Not TwNumber(allowed_v, "allowed_v", _
    "0.0001 to 120 V (direct voltage of the lighting side (IEC 61140: ELV ends at 120 V))", in_allowed_v, told) Then GoTo Refused
  If Not TwNumber(resistivity_ohm_mm2_per_m, "resistivity_ohm_mm2_per_m", _
    "0.01 to 0.1 ohm mm2/m (resistivity of a conductor)", in_resistivity_ohm_mm2_per_m, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_least_area(in_current_a, in_one_way_m, in_allowed_v, in_resistivity_ohm_mm2_per_m, out_area_mm2, _
    why) <> 0 Then
    told = TwTold(why)
    TwLeastArea = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLeastArea = TwPick(TwWish(which), Array("area_mm2"), Array(out_area_mm2))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLeastArea = told
  Exit Function
Failed:
  TwLeastArea = CVErr(TW_VALUE)
End Function

' longest two-conductor feeder within a drop; outputs: one_way_m
Public Function TwLongestTwoWire(ByVal current_a As Variant, ByVal nominal_v As Variant, _
    ByVal drop_limit As Variant, ByVal conductor_class As Variant, ByVal area_mm2 As Variant, _
    ByVal temperature_c As Variant, Optional ByVal which As Variant) As Variant
  Dim in_current_a As Double, in_nominal_v As Double, in_drop_limit As Double, in_conductor_class As Long, _
    in_area_mm2 As Double, in_temperature_c As Double, out_one_way_m As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLongestTwoWire = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(current_a, "current_a", "0 to 10000 A (current)", in_current_a, told) Then GoTo Refused
  If Not TwNumber(nominal_v, "nominal_v", "3 to 60 V (nominal voltage)", in_nominal_v, told) Then GoTo Refused
  If Not TwNumber(drop_limit, "drop_limit", _
    "0 to 0.5 (allowed voltage drop as a share of nominal)", in_drop_limit, told) Then GoTo Refused
  If Not TwWhole(conductor_class, "conductor_class", _
    "1 to 5 (IEC 60228 class: 1, 2 or 5)", in_conductor_class, told) Then GoTo Refused
  If Not TwNumber(area_mm2, "area_mm2", _
    "0.01 to 1000 mm2 (conductor cross-section)", in_area_mm2, told) Then GoTo Refused
  If Not TwNumber(temperature_c, "temperature_c", _
    "-60 to 200 degC (conductor temperature)", in_temperature_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_longest_two_wire(in_current_a, in_nominal_v, in_drop_limit, in_conductor_class, in_area_mm2, _
    in_temperature_c, out_one_way_m, why) <> 0 Then
    told = TwTold(why)
    TwLongestTwoWire = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLongestTwoWire = TwPick(TwWish(which), Array("one_way_m"), Array(out_one_way_m))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLongestTwoWire = told
  Exit Function
Failed:
  TwLongestTwoWire = CVErr(TW_VALUE)
End Function

' current that one contact carries at an ambient; outputs: allowed_a
Public Function TwContactCurrent(ByVal rated_a As Variant, ByVal rating_ambient_c As Variant, _
    ByVal upper_limit_c As Variant, ByVal ambient_c As Variant, ByVal curve_factor As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_rated_a As Double, in_rating_ambient_c As Double, in_upper_limit_c As Double, in_ambient_c As Double, _
    in_curve_factor As Double, out_allowed_a As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwContactCurrent = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(rated_a, "rated_a", "0.001 to 10000 A (rated current)", in_rated_a, told) Then GoTo Refused
  If Not TwNumber(rating_ambient_c, "rating_ambient_c", _
    "-20 to 120 degC (ambient at which the rated current was stated)", in_rating_ambient_c, told) Then GoTo Refused
  If Not TwNumber(upper_limit_c, "upper_limit_c", _
    "30 to 250 degC (upper limiting temperature)", in_upper_limit_c, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  If Not TwNumber(curve_factor, "curve_factor", _
    "0.1 to 1 (share of a whole)", in_curve_factor, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_contact_current(in_rated_a, in_rating_ambient_c, in_upper_limit_c, in_ambient_c, in_curve_factor, _
    out_allowed_a, why) <> 0 Then
    told = TwTold(why)
    TwContactCurrent = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwContactCurrent = TwPick(TwWish(which), Array("allowed_a"), Array(out_allowed_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwContactCurrent = told
  Exit Function
Failed:
  TwContactCurrent = CVErr(TW_VALUE)
End Function

' use of one contact; outputs: allowed_a, utilisation
Public Function TwContactUtilisation(ByVal current_a As Variant, ByVal rated_a As Variant, _
    ByVal rating_ambient_c As Variant, ByVal upper_limit_c As Variant, ByVal ambient_c As Variant, _
    ByVal curve_factor As Variant, Optional ByVal which As Variant) As Variant
  Dim in_current_a As Double, in_rated_a As Double, in_rating_ambient_c As Double, in_upper_limit_c As Double, _
    in_ambient_c As Double, in_curve_factor As Double, out_allowed_a As Double, out_utilisation As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwContactUtilisation = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(current_a, "current_a", "0 to 10000 A (current)", in_current_a, told) Then GoTo Refused
  If Not TwNumber(rated_a, "rated_a", "0.001 to 10000 A (rated current)", in_rated_a, told) Then GoTo Refused
  If Not TwNumber(rating_ambient_c, "rating_ambient_c", _
    "-20 to 120 degC (ambient at which the rated current was stated)", in_rating_ambient_c, told) Then GoTo Refused
  If Not TwNumber(upper_limit_c, "upper_limit_c", _
    "30 to 250 degC (upper limiting temperature)", in_upper_limit_c, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  If Not TwNumber(curve_factor, "curve_factor", _
    "0.1 to 1 (share of a whole)", in_curve_factor, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_contact_utilisation(in_current_a, in_rated_a, in_rating_ambient_c, in_upper_limit_c, in_ambient_c, _
    in_curve_factor, out_allowed_a, out_utilisation, why) <> 0 Then
    told = TwTold(why)
    TwContactUtilisation = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwContactUtilisation = TwPick(TwWish(which), Array("allowed_a", "utilisation"), _
    Array(out_allowed_a, out_utilisation))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwContactUtilisation = told
  Exit Function
Failed:
  TwContactUtilisation = CVErr(TW_VALUE)
End Function

' use of the limits of a controller; outputs: channel_utilisation, total_utilisation, terminal_utilisation
Public Function TwControllerUtilisation(ByVal channel_a As Variant, ByVal total_a As Variant, _
    ByVal channel_limit_a As Variant, ByVal total_limit_a As Variant, ByVal terminal_a As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_channel_a() As Double, count As Long, in_total_a As Double, in_channel_limit_a As Double, _
    in_total_limit_a As Double, in_terminal_a As Double, out_channel_utilisation As Double, _
    out_total_utilisation As Double, out_terminal_utilisation As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwControllerUtilisation = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumbers(channel_a, "channel_a", "current of each channel", in_channel_a, count, told) Then GoTo Refused
  If Not TwNumber(total_a, "total_a", "0 to 10000 A (current)", in_total_a, told) Then GoTo Refused
  If Not TwNumber(channel_limit_a, "channel_limit_a", _
    "0.001 to 1000 A (greatest current of one channel)", in_channel_limit_a, told) Then GoTo Refused
  If Not TwNumber(total_limit_a, "total_limit_a", _
    "0.001 to 10000 A (greatest current of all channels together)", in_total_limit_a, told) Then GoTo Refused
  If Not TwNumber(terminal_a, "terminal_a", _
    "0.001 to 10000 A (rated current of a terminal)", in_terminal_a, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_controller_utilisation(in_channel_a(0), count, in_total_a, in_channel_limit_a, in_total_limit_a, _
    in_terminal_a, out_channel_utilisation, out_total_utilisation, out_terminal_utilisation, why) <> 0 Then
    told = TwTold(why)
    TwControllerUtilisation = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwControllerUtilisation = TwPick(TwWish(which), _
    Array("channel_utilisation", "total_utilisation", "terminal_utilisation"), _
    Array(out_channel_utilisation, out_total_utilisation, out_terminal_utilisation))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwControllerUtilisation = told
  Exit Function
Failed:
  TwControllerUtilisation = CVErr(TW_VALUE)
End Function

' fewest controllers that could share a load; outputs: needed, governed
Public Function TwControllersNeeded(ByVal channel_a As Variant, ByVal total_a As Variant, _
    ByVal channel_limit_a As Variant, ByVal total_limit_a As Variant, ByVal terminal_a As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_channel_a() As Double, count As Long, in_total_a As Double, in_channel_limit_a As Double, _
    in_total_limit_a As Double, in_terminal_a As Double, out_needed As Long, out_governed As Long, why As TwFault, _
    told As String
  On Error GoTo Failed
  TwControllersNeeded = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumbers(channel_a, "channel_a", "current of each channel", in_channel_a, count, told) Then GoTo Refused
  If Not TwNumber(total_a, "total_a", "0 to 10000 A (current)", in_total_a, told) Then GoTo Refused
  If Not TwNumber(channel_limit_a, "channel_limit_a", _
    "0.001 to 1000 A (greatest current of one channel)", in_channel_limit_a, told) Then GoTo Refused
  If Not TwNumber(total_limit_a, "total_limit_a", _
    "0.001 to 10000 A (greatest current of all channels together)", in_total_limit_a, told) Then GoTo Refused
  If Not TwNumber(terminal_a, "terminal_a", _
    "0.001 to 10000 A (rated current of a terminal)", in_terminal_a, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_controllers_needed(in_channel_a(0), count, in_total_a, in_channel_limit_a, in_total_limit_a, in_terminal_a, _
    out_needed, out_governed, why) <> 0 Then
    told = TwTold(why)
    TwControllersNeeded = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwControllersNeeded = TwPick(TwWish(which), Array("needed", "governed"), Array(out_needed, out_governed))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwControllersNeeded = told
  Exit Function
Failed:
  TwControllersNeeded = CVErr(TW_VALUE)
End Function

' capacity that a load with headroom asks for; outputs: capacity_w
Public Function TwLeastCapacity(ByVal load_w As Variant, ByVal headroom As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_load_w As Double, in_headroom As Double, out_capacity_w As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLeastCapacity = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(load_w, "load_w", "0 to 1000000 W (power)", in_load_w, told) Then GoTo Refused
  If Not TwNumber(headroom, "headroom", _
    "0 to 2 (spare capacity as a share of the LOAD: capacity >= load x (1 + headroom))", in_headroom, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_least_capacity(in_load_w, in_headroom, out_capacity_w, why) <> 0 Then
    told = TwTold(why)
    TwLeastCapacity = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLeastCapacity = TwPick(TwWish(which), Array("capacity_w"), Array(out_capacity_w))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLeastCapacity = told
  Exit Function
Failed:
  TwLeastCapacity = CVErr(TW_VALUE)
End Function

' load that a capacity allows with headroom; outputs: load_w
Public Function TwGreatestLoad(ByVal capacity_w As Variant, ByVal headroom As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_capacity_w As Double, in_headroom As Double, out_load_w As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwGreatestLoad = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(capacity_w, "capacity_w", "0 to 1000000 W (power)", in_capacity_w, told) Then GoTo Refused
  If Not TwNumber(headroom, "headroom", _
    "0 to 2 (spare capacity as a share of the LOAD: capacity >= load x (1 + headroom))", in_headroom, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_greatest_load(in_capacity_w, in_headroom, out_load_w, why) <> 0 Then
    told = TwTold(why)
    TwGreatestLoad = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwGreatestLoad = TwPick(TwWish(which), Array("load_w"), Array(out_load_w))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwGreatestLoad = told
  Exit Function
Failed:
  TwGreatestLoad = CVErr(TW_VALUE)
End Function

' loading limit that says the same as a headroom; outputs: loading_limit
Public Function TwLoadingLimit(ByVal headroom As Variant, Optional ByVal which As Variant) As Variant
  Dim in_headroom As Double, out_loading_limit As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLoadingLimit = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(headroom, "headroom", _
    "0 to 2 (spare capacity as a share of the LOAD: capacity >= load x (1 + headroom))", in_headroom, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_loading_limit(in_headroom, out_loading_limit, why) <> 0 Then
    told = TwTold(why)
    TwLoadingLimit = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLoadingLimit = TwPick(TwWish(which), Array("loading_limit"), Array(out_loading_limit))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLoadingLimit = told
  Exit Function
Failed:
  TwLoadingLimit = CVErr(TW_VALUE)
End Function

' headroom that says the same as a loading limit; outputs: headroom
Public Function TwHeadroom(ByVal loading_limit As Variant, Optional ByVal which As Variant) As Variant
  Dim in_loading_limit As Double, out_headroom As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwHeadroom = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(loading_limit, "loading_limit", _
    "0.1 to 1 (load as a share of the CAPACITY: load <= capacity x limit)", in_loading_limit, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_headroom(in_loading_limit, out_headroom, why) <> 0 Then
    told = TwTold(why)
    TwHeadroom = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwHeadroom = TwPick(TwWish(which), Array("headroom"), Array(out_headroom))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwHeadroom = told
  Exit Function
Failed:
  TwHeadroom = CVErr(TW_VALUE)
End Function

' share of the rated output left at an ambient; outputs: share
Public Function TwDeratedShare(ByVal curve_c As Variant, ByVal curve_share As Variant, ByVal ambient_c As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_curve_c() As Double, in_curve_share() As Double, count As Long, in_ambient_c As Double, _
    out_share As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwDeratedShare = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumbers(curve_c, "curve_c", "ambients, rising", in_curve_c, count, told) Then GoTo Refused
  If Not TwNumbers(curve_share, "curve_share", _
    "shares of the rated output, not rising", in_curve_share, count, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_derated_share(in_curve_c(0), in_curve_share(0), count, in_ambient_c, out_share, why) <> 0 Then
    told = TwTold(why)
    TwDeratedShare = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwDeratedShare = TwPick(TwWish(which), Array("share"), Array(out_share))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwDeratedShare = told
  Exit Function
Failed:
  TwDeratedShare = CVErr(TW_VALUE)
End Function

' the same for a curve of two points; outputs: share
Public Function TwTwoPointShare(ByVal full_to_c As Variant, ByVal last_c As Variant, ByVal last_share As Variant, _
    ByVal ambient_c As Variant, Optional ByVal which As Variant) As Variant
  Dim in_full_to_c As Double, in_last_c As Double, in_last_share As Double, in_ambient_c As Double, _
    out_share As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwTwoPointShare = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(full_to_c, "full_to_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_full_to_c, told) Then GoTo Refused
  If Not TwNumber(last_c, "last_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_last_c, told) Then GoTo Refused
  If Not TwNumber(last_share, "last_share", _
    "0 to 1.5 (share of the rated output available at a temperature)", in_last_share, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_two_point_share(in_full_to_c, in_last_c, in_last_share, in_ambient_c, out_share, why) <> 0 Then
    told = TwTold(why)
    TwTwoPointShare = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwTwoPointShare = TwPick(TwWish(which), Array("share"), Array(out_share))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwTwoPointShare = told
  Exit Function
Failed:
  TwTwoPointShare = CVErr(TW_VALUE)
End Function

' use of one output of a driver; outputs: capacity_w, needed_w, utilisation, headroom_left
Public Function TwDriverUtilisation(ByVal load_w As Variant, ByVal headroom As Variant, ByVal output_v As Variant, _
    ByVal rated_output_w As Variant, ByVal full_to_c As Variant, ByVal last_c As Variant, _
    ByVal last_share As Variant, ByVal ambient_c As Variant, Optional ByVal which As Variant) As Variant
  Dim in_load_w As Double, in_headroom As Double, in_output_v As Double, in_rated_output_w As Double, _
    in_full_to_c As Double, in_last_c As Double, in_last_share As Double, in_ambient_c As Double, _
    out_capacity_w As Double, out_needed_w As Double, out_utilisation As Double, out_headroom_left As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwDriverUtilisation = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(load_w, "load_w", "0.001 to 1000000 W (power)", in_load_w, told) Then GoTo Refused
  If Not TwNumber(headroom, "headroom", _
    "0 to 2 (spare capacity as a share of the LOAD: capacity >= load x (1 + headroom))", in_headroom, told) Then GoTo Refused
  If Not TwNumber(output_v, "output_v", "3 to 60 V (nominal voltage)", in_output_v, told) Then GoTo Refused
  If Not TwNumber(rated_output_w, "rated_output_w", _
    "0.1 to 100000 W (rated output power)", in_rated_output_w, told) Then GoTo Refused
  If Not TwNumber(full_to_c, "full_to_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_full_to_c, told) Then GoTo Refused
  If Not TwNumber(last_c, "last_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_last_c, told) Then GoTo Refused
  If Not TwNumber(last_share, "last_share", _
    "0 to 1.5 (share of the rated output available at a temperature)", in_last_share, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_driver_utilisation(in_load_w, in_headroom, in_output_v, in_rated_output_w, in_full_to_c, in_last_c, _
    in_last_share, in_ambient_c, out_capacity_w, out_needed_w, out_utilisation, out_headroom_left, why) <> 0 Then
    told = TwTold(why)
    TwDriverUtilisation = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwDriverUtilisation = TwPick(TwWish(which), Array("capacity_w", "needed_w", "utilisation", "headroom_left"), _
    Array(out_capacity_w, out_needed_w, out_utilisation, out_headroom_left))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwDriverUtilisation = told
  Exit Function
Failed:
  TwDriverUtilisation = CVErr(TW_VALUE)
End Function

' greatest ratings of a limited-energy output; outputs: rated_a, rated_va
Public Function TwClass2Limit(ByVal output_v As Variant, Optional ByVal which As Variant) As Variant
  Dim in_output_v As Double, out_rated_a As Double, out_rated_va As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwClass2Limit = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(output_v, "output_v", _
    "0.1 to 60 V (direct voltage of the lighting side (IEC 61140: ELV ends at 120 V))", in_output_v, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_class2_limit(in_output_v, out_rated_a, out_rated_va, why) <> 0 Then
    told = TwTold(why)
    TwClass2Limit = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwClass2Limit = TwPick(TwWish(which), Array("rated_a", "rated_va"), Array(out_rated_a, out_rated_va))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwClass2Limit = told
  Exit Function
Failed:
  TwClass2Limit = CVErr(TW_VALUE)
End Function

' conventional operating current of a protective device; outputs: factor, operating_a
Public Function TwOperatingCurrent(ByVal overcurrent_family As Variant, ByVal fuse_a As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_overcurrent_family As Long, in_fuse_a As Double, out_factor As Double, out_operating_a As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwOperatingCurrent = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(overcurrent_family, "overcurrent_family", _
    "0 to 5 (0 = gG fuse, 1, 2, 3 = breaker B, C, D, 4 = blade fuse, 5 = cartridge fuse)", in_overcurrent_family, told) Then GoTo Refused
  If Not TwNumber(fuse_a, "fuse_a", _
    "0.01 to 400 A (rated current of a fuse or protective device)", in_fuse_a, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_operating_current(in_overcurrent_family, in_fuse_a, out_factor, out_operating_a, why) <> 0 Then
    told = TwTold(why)
    TwOperatingCurrent = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwOperatingCurrent = TwPick(TwWish(which), Array("factor", "operating_a"), Array(out_factor, out_operating_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwOperatingCurrent = told
  Exit Function
Failed:
  TwOperatingCurrent = CVErr(TW_VALUE)
End Function

' short-circuit current at the far end of a cable; outputs: fault_a
Public Function TwFarEndFault(ByVal voltage_v As Variant, ByVal fault_loop_ohm As Variant, _
    ByVal source_limit_a As Variant, Optional ByVal which As Variant) As Variant
  Dim in_voltage_v As Double, in_fault_loop_ohm As Double, in_source_limit_a As Double, out_fault_a As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwFarEndFault = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(voltage_v, "voltage_v", _
    "0.1 to 120 V (direct voltage of the lighting side (IEC 61140: ELV ends at 120 V))", in_voltage_v, told) Then GoTo Refused
  If Not TwNumber(fault_loop_ohm, "fault_loop_ohm", _
    "0 to 1000000 ohm (resistance)", in_fault_loop_ohm, told) Then GoTo Refused
  If Not TwNumber(source_limit_a, "source_limit_a", _
    "0 to 10000 A (current)", in_source_limit_a, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_far_end_fault(in_voltage_v, in_fault_loop_ohm, in_source_limit_a, out_fault_a, why) <> 0 Then
    told = TwTold(why)
    TwFarEndFault = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwFarEndFault = TwPick(TwWish(which), Array("fault_a"), Array(out_fault_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwFarEndFault = told
  Exit Function
Failed:
  TwFarEndFault = CVErr(TW_VALUE)
End Function

' overload and short-circuit protection as utilisations; outputs: load_utilisation, cable_utilisation, operating_utilisation, fault_utilisation
Public Function TwOvercurrentUtilisation(ByVal overcurrent_family As Variant, ByVal fuse_a As Variant, _
    ByVal load_a As Variant, ByVal ampacity_a As Variant, ByVal voltage_v As Variant, _
    ByVal fault_loop_ohm As Variant, ByVal source_limit_a As Variant, Optional ByVal which As Variant) As Variant
  Dim in_overcurrent_family As Long, in_fuse_a As Double, in_load_a As Double, in_ampacity_a As Double, _
    in_voltage_v As Double, in_fault_loop_ohm As Double, in_source_limit_a As Double, _
    out_load_utilisation As Double, out_cable_utilisation As Double, out_operating_utilisation As Double, _
    out_fault_utilisation As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwOvercurrentUtilisation = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(overcurrent_family, "overcurrent_family", _
    "0 to 5 (0 = gG fuse, 1, 2, 3 = breaker B, C, D, 4 = blade fuse, 5 = cartridge fuse)", in_overcurrent_family, told) Then GoTo Refused
  If Not TwNumber(fuse_a, "fuse_a", _
    "0.01 to 400 A (rated current of a fuse or protective device)", in_fuse_a, told) Then GoTo Refused
  If Not TwNumber(load_a, "load_a", "0 to 10000 A (current)", in_load_a, told) Then GoTo Refused
  If Not TwNumber(ampacity_a, "ampacity_a", _
    "0 to 10000 A (continuous current a conductor may carry)", in_ampacity_a, told) Then GoTo Refused
  If Not TwNumber(voltage_v, "voltage_v", _
    "0.1 to 120 V (direct voltage of the lighting side (IEC 61140: ELV ends at 120 V))", in_voltage_v, told) Then GoTo Refused
  If Not TwNumber(fault_loop_ohm, "fault_loop_ohm", _
    "0 to 1000000 ohm (resistance)", in_fault_loop_ohm, told) Then GoTo Refused
  If Not TwNumber(source_limit_a, "source_limit_a", _
    "0 to 10000 A (current)", in_source_limit_a, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_overcurrent_utilisation(in_overcurrent_family, in_fuse_a, in_load_a, in_ampacity_a, in_voltage_v, _
    in_fault_loop_ohm, in_source_limit_a, out_load_utilisation, out_cable_utilisation, out_operating_utilisation, _
    out_fault_utilisation, why) <> 0 Then
    told = TwTold(why)
    TwOvercurrentUtilisation = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwOvercurrentUtilisation = TwPick(TwWish(which), _
    Array("load_utilisation", "cable_utilisation", "operating_utilisation", "fault_utilisation"), _
    Array(out_load_utilisation, out_cable_utilisation, out_operating_utilisation, out_fault_utilisation))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwOvercurrentUtilisation = told
  Exit Function
Failed:
  TwOvercurrentUtilisation = CVErr(TW_VALUE)
End Function

' what a driver takes from the mains; outputs: input_w, apparent_va, current_a
Public Function TwMainsCurrent(ByVal output_w As Variant, ByVal efficiency As Variant, _
    ByVal power_factor As Variant, ByVal mains_v As Variant, Optional ByVal which As Variant) As Variant
  Dim in_output_w As Double, in_efficiency As Double, in_power_factor As Double, in_mains_v As Double, _
    out_input_w As Double, out_apparent_va As Double, out_current_a As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwMainsCurrent = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(output_w, "output_w", "0 to 1000000 W (power)", in_output_w, told) Then GoTo Refused
  If Not TwNumber(efficiency, "efficiency", _
    "0.05 to 1 (output power over input power)", in_efficiency, told) Then GoTo Refused
  If Not TwNumber(power_factor, "power_factor", _
    "0.05 to 1 (active over apparent power)", in_power_factor, told) Then GoTo Refused
  If Not TwNumber(mains_v, "mains_v", "90 to 440 V (mains voltage, r.m.s.)", in_mains_v, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_mains_current(in_output_w, in_efficiency, in_power_factor, in_mains_v, out_input_w, out_apparent_va, _
    out_current_a, why) <> 0 Then
    told = TwTold(why)
    TwMainsCurrent = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwMainsCurrent = TwPick(TwWish(which), Array("input_w", "apparent_va", "current_a"), _
    Array(out_input_w, out_apparent_va, out_current_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwMainsCurrent = told
  Exit Function
Failed:
  TwMainsCurrent = CVErr(TW_VALUE)
End Function

' equal drivers on one breaker; outputs: by_steady, by_inrush, count
Public Function TwDriversPerBreaker(ByVal output_w As Variant, ByVal efficiency As Variant, _
    ByVal power_factor As Variant, ByVal mains_v As Variant, ByVal inrush_a As Variant, _
    ByVal breaker_a As Variant, ByVal breaker_family As Variant, ByVal breaker_share As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_output_w As Double, in_efficiency As Double, in_power_factor As Double, in_mains_v As Double, _
    in_inrush_a As Double, in_breaker_a As Double, in_breaker_family As Long, in_breaker_share As Double, _
    out_by_steady As Long, out_by_inrush As Long, out_count As Long, why As TwFault, told As String
  On Error GoTo Failed
  TwDriversPerBreaker = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(output_w, "output_w", "0.001 to 1000000 W (power)", in_output_w, told) Then GoTo Refused
  If Not TwNumber(efficiency, "efficiency", _
    "0.05 to 1 (output power over input power)", in_efficiency, told) Then GoTo Refused
  If Not TwNumber(power_factor, "power_factor", _
    "0.05 to 1 (active over apparent power)", in_power_factor, told) Then GoTo Refused
  If Not TwNumber(mains_v, "mains_v", "90 to 440 V (mains voltage, r.m.s.)", in_mains_v, told) Then GoTo Refused
  If Not TwNumber(inrush_a, "inrush_a", _
    "0 to 10000 A (peak of the inrush current)", in_inrush_a, told) Then GoTo Refused
  If Not TwNumber(breaker_a, "breaker_a", _
    "0.5 to 125 A (rated current of the circuit breaker)", in_breaker_a, told) Then GoTo Refused
  If Not TwWhole(breaker_family, "breaker_family", _
    "1 to 3 (0 = gG fuse, 1, 2, 3 = breaker B, C, D, 4 = blade fuse, 5 = cartridge fuse)", in_breaker_family, told) Then GoTo Refused
  If Not TwNumber(breaker_share, "breaker_share", _
    "0.1 to 1 (share of a whole)", in_breaker_share, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_drivers_per_breaker(in_output_w, in_efficiency, in_power_factor, in_mains_v, in_inrush_a, in_breaker_a, _
    in_breaker_family, in_breaker_share, out_by_steady, out_by_inrush, out_count, why) <> 0 Then
    told = TwTold(why)
    TwDriversPerBreaker = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwDriversPerBreaker = TwPick(TwWish(which), Array("by_steady", "by_inrush", "count"), _
    Array(out_by_steady, out_by_inrush, out_count))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwDriversPerBreaker = told
  Exit Function
Failed:
  TwDriversPerBreaker = CVErr(TW_VALUE)
End Function

' use of one breaker by all its drivers; outputs: steady_utilisation, inrush_utilisation
Public Function TwBreakerUtilisation(ByVal steady_a As Variant, ByVal inrush_a As Variant, _
    ByVal breaker_a As Variant, ByVal breaker_family As Variant, ByVal breaker_share As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_steady_a As Double, in_inrush_a As Double, in_breaker_a As Double, in_breaker_family As Long, _
    in_breaker_share As Double, out_steady_utilisation As Double, out_inrush_utilisation As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwBreakerUtilisation = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(steady_a, "steady_a", "0 to 10000 A (current)", in_steady_a, told) Then GoTo Refused
  If Not TwNumber(inrush_a, "inrush_a", _
    "0 to 10000 A (peak of the inrush current)", in_inrush_a, told) Then GoTo Refused
  If Not TwNumber(breaker_a, "breaker_a", _
    "0.5 to 125 A (rated current of the circuit breaker)", in_breaker_a, told) Then GoTo Refused
  If Not TwWhole(breaker_family, "breaker_family", _
    "1 to 3 (0 = gG fuse, 1, 2, 3 = breaker B, C, D, 4 = blade fuse, 5 = cartridge fuse)", in_breaker_family, told) Then GoTo Refused
  If Not TwNumber(breaker_share, "breaker_share", _
    "0.1 to 1 (share of a whole)", in_breaker_share, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_breaker_utilisation(in_steady_a, in_inrush_a, in_breaker_a, in_breaker_family, in_breaker_share, _
    out_steady_utilisation, out_inrush_utilisation, why) <> 0 Then
    told = TwTold(why)
    TwBreakerUtilisation = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwBreakerUtilisation = TwPick(TwWish(which), Array("steady_utilisation", "inrush_utilisation"), _
    Array(out_steady_utilisation, out_inrush_utilisation))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwBreakerUtilisation = told
  Exit Function
Failed:
  TwBreakerUtilisation = CVErr(TW_VALUE)
End Function

' use of a residual current device; outputs: limit_a, utilisation
Public Function TwLeakageUtilisation(ByVal leakage_sum_a As Variant, ByVal residual_a As Variant, _
    ByVal share As Variant, Optional ByVal which As Variant) As Variant
  Dim in_leakage_sum_a As Double, in_residual_a As Double, in_share As Double, out_limit_a As Double, _
    out_utilisation As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLeakageUtilisation = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(leakage_sum_a, "leakage_sum_a", _
    "0 to 10000 A (current)", in_leakage_sum_a, told) Then GoTo Refused
  If Not TwNumber(residual_a, "residual_a", _
    "0.001 to 10 A (rated residual current of a residual current device)", in_residual_a, told) Then GoTo Refused
  If Not TwNumber(share, "share", "0.01 to 1 (share of a whole)", in_share, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_leakage_utilisation(in_leakage_sum_a, in_residual_a, in_share, out_limit_a, out_utilisation, why) <> 0 Then
    told = TwTold(why)
    TwLeakageUtilisation = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLeakageUtilisation = TwPick(TwWish(which), Array("limit_a", "utilisation"), _
    Array(out_limit_a, out_utilisation))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLeakageUtilisation = told
  Exit Function
Failed:
  TwLeakageUtilisation = CVErr(TW_VALUE)
End Function

' energy of a year; outputs: energy_kwh
Public Function TwYearlyEnergy(ByVal input_w As Variant, ByVal hours_per_year As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_input_w As Double, in_hours_per_year As Double, out_energy_kwh As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwYearlyEnergy = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(input_w, "input_w", "0 to 1000000 W (power)", in_input_w, told) Then GoTo Refused
  If Not TwNumber(hours_per_year, "hours_per_year", _
    "0 to 8784 h (hours of full light in a year)", in_hours_per_year, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_yearly_energy(in_input_w, in_hours_per_year, out_energy_kwh, why) <> 0 Then
    told = TwTold(why)
    TwYearlyEnergy = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwYearlyEnergy = TwPick(TwWish(which), Array("energy_kwh"), Array(out_energy_kwh))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwYearlyEnergy = told
  Exit Function
Failed:
  TwYearlyEnergy = CVErr(TW_VALUE)
End Function

' what energy costs; outputs: cost_minor
Public Function TwEnergyCost(ByVal energy_kwh As Variant, ByVal tariff_minor_per_kwh As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_energy_kwh As Double, in_tariff_minor_per_kwh As Double, out_cost_minor As LongLong, why As TwFault, _
    told As String
  On Error GoTo Failed
  TwEnergyCost = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(energy_kwh, "energy_kwh", _
    "0 to 10000000 kWh (energy of a year)", in_energy_kwh, told) Then GoTo Refused
  If Not TwNumber(tariff_minor_per_kwh, "tariff_minor_per_kwh", _
    "0 to 1000000 minor units/kWh (price of a kilowatt-hour)", in_tariff_minor_per_kwh, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_energy_cost(in_energy_kwh, in_tariff_minor_per_kwh, out_cost_minor, why) <> 0 Then
    told = TwTold(why)
    TwEnergyCost = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwEnergyCost = TwPick(TwWish(which), Array("cost_minor"), Array(CDbl(out_cost_minor)))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwEnergyCost = told
  Exit Function
Failed:
  TwEnergyCost = CVErr(TW_VALUE)
End Function

' CIE 1976 lightness of a luminance ratio; outputs: lightness
Public Function TwLightness(ByVal luminance_ratio As Variant, Optional ByVal which As Variant) As Variant
  Dim in_luminance_ratio As Double, out_lightness As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLightness = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(luminance_ratio, "luminance_ratio", _
    "0 to 1 (luminance over that of the reference white)", in_luminance_ratio, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_lightness(in_luminance_ratio, out_lightness, why) <> 0 Then
    told = TwTold(why)
    TwLightness = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLightness = TwPick(TwWish(which), Array("lightness"), Array(out_lightness))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLightness = told
  Exit Function
Failed:
  TwLightness = CVErr(TW_VALUE)
End Function

' luminance ratio of a CIE 1976 lightness; outputs: luminance_ratio
Public Function TwLuminanceRatio(ByVal lightness As Variant, Optional ByVal which As Variant) As Variant
  Dim in_lightness As Double, out_luminance_ratio As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwLuminanceRatio = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(lightness, "lightness", _
    "0 to 100 (CIE 1976 lightness L*)", in_lightness, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_luminance_ratio(in_lightness, out_luminance_ratio, why) <> 0 Then
    told = TwTold(why)
    TwLuminanceRatio = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLuminanceRatio = TwPick(TwWish(which), Array("luminance_ratio"), Array(out_luminance_ratio))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLuminanceRatio = told
  Exit Function
Failed:
  TwLuminanceRatio = CVErr(TW_VALUE)
End Function

' workspace that is always enough for a line; outputs: doubles
Public Function TwLineWorkspace(ByVal segments As Variant, ByVal channels As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_segments As Long, in_channels As Long, out_doubles As LongLong, why As TwFault, told As String
  On Error GoTo Failed
  TwLineWorkspace = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(segments, "segments", _
    "1 to 100000 (number of cut segments)", in_segments, told) Then GoTo Refused
  If Not TwWhole(channels, "channels", "1 to 6 (number of channels)", in_channels, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_line_workspace(in_segments, in_channels, out_doubles, why) <> 0 Then
    told = TwTold(why)
    TwLineWorkspace = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwLineWorkspace = TwPick(TwWish(which), Array("doubles"), Array(CDbl(out_doubles)))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwLineWorkspace = told
  Exit Function
Failed:
  TwLineWorkspace = CVErr(TW_VALUE)
End Function

' workspace that a run with feed points needs; outputs: doubles
Public Function TwFeedWorkspace(ByVal segments As Variant, ByVal channels As Variant, ByVal points As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_segments As Long, in_channels As Long, in_points As Long, out_doubles As LongLong, why As TwFault, _
    told As String
  On Error GoTo Failed
  TwFeedWorkspace = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(segments, "segments", _
    "1 to 100000 (number of cut segments)", in_segments, told) Then GoTo Refused
  If Not TwWhole(channels, "channels", "1 to 6 (number of channels)", in_channels, told) Then GoTo Refused
  If Not TwWhole(points, "points", "1 to 8 (places at which a run is fed)", in_points, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_feed_workspace(in_segments, in_channels, in_points, out_doubles, why) <> 0 Then
    told = TwTold(why)
    TwFeedWorkspace = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwFeedWorkspace = TwPick(TwWish(which), Array("doubles"), Array(CDbl(out_doubles)))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwFeedWorkspace = told
  Exit Function
Failed:
  TwFeedWorkspace = CVErr(TW_VALUE)
End Function

' temperature of a conductor from an ampacity; outputs: conductor_c
Public Function TwWarmConductor(ByVal current_a As Variant, ByVal rated_a As Variant, _
    ByVal rated_ambient_c As Variant, ByVal limit_c As Variant, ByVal ambient_c As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_current_a As Double, in_rated_a As Double, in_rated_ambient_c As Double, in_limit_c As Double, _
    in_ambient_c As Double, out_conductor_c As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwWarmConductor = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(current_a, "current_a", "0 to 10000 A (current)", in_current_a, told) Then GoTo Refused
  If Not TwNumber(rated_a, "rated_a", _
    "0.001 to 10000 A (continuous current a conductor may carry)", in_rated_a, told) Then GoTo Refused
  If Not TwNumber(rated_ambient_c, "rated_ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_rated_ambient_c, told) Then GoTo Refused
  If Not TwNumber(limit_c, "limit_c", _
    "40 to 200 degC (highest conductor temperature of the insulation)", in_limit_c, told) Then GoTo Refused
  If Not TwNumber(ambient_c, "ambient_c", _
    "-40 to 120 degC (temperature of the surroundings)", in_ambient_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_warm_conductor(in_current_a, in_rated_a, in_rated_ambient_c, in_limit_c, in_ambient_c, out_conductor_c, _
    why) <> 0 Then
    told = TwTold(why)
    TwWarmConductor = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwWarmConductor = TwPick(TwWish(which), Array("conductor_c"), Array(out_conductor_c))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwWarmConductor = told
  Exit Function
Failed:
  TwWarmConductor = CVErr(TW_VALUE)
End Function

' what a kelvin more does, from what copper does of itself; outputs: v_per_k
Public Function TwPerKelvin(ByVal of_itself_v As Variant, ByVal copper_c As Variant, _
    Optional ByVal which As Variant) As Variant
  Dim in_of_itself_v As Double, in_copper_c As Double, out_v_per_k As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwPerKelvin = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(of_itself_v, "of_itself_v", _
    "-1000000 to 1000000 V (change of a voltage for a relative change of an input)", in_of_itself_v, told) Then GoTo Refused
  If Not TwNumber(copper_c, "copper_c", _
    "-60 to 200 degC (conductor temperature)", in_copper_c, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_per_kelvin(in_of_itself_v, in_copper_c, out_v_per_k, why) <> 0 Then
    told = TwTold(why)
    TwPerKelvin = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwPerKelvin = TwPick(TwWish(which), Array("v_per_k"), Array(out_v_per_k))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwPerKelvin = told
  Exit Function
Failed:
  TwPerKelvin = CVErr(TW_VALUE)
End Function

' by what a copper resistance may be multiplied; outputs: least, most
Public Function TwCopperRange(ByVal at_c As Variant, ByVal least_c As Variant, ByVal most_c As Variant, _
    ByVal share As Variant, Optional ByVal which As Variant) As Variant
  Dim in_at_c As Double, in_least_c As Double, in_most_c As Double, in_share As Double, out_least As Double, _
    out_most As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwCopperRange = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwNumber(at_c, "at_c", "-60 to 200 degC (conductor temperature)", in_at_c, told) Then GoTo Refused
  If Not TwNumber(least_c, "least_c", _
    "-60 to 200 degC (conductor temperature)", in_least_c, told) Then GoTo Refused
  If Not TwNumber(most_c, "most_c", "-60 to 200 degC (conductor temperature)", in_most_c, told) Then GoTo Refused
  If Not TwNumber(share, "share", "0 to 0.2 (share of a whole)", in_share, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_copper_range(in_at_c, in_least_c, in_most_c, in_share, out_least, out_most, why) <> 0 Then
    told = TwTold(why)
    TwCopperRange = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwCopperRange = TwPick(TwWish(which), Array("least", "most"), Array(out_least, out_most))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwCopperRange = told
  Exit Function
Failed:
  TwCopperRange = CVErr(TW_VALUE)
End Function

' a tape of one channel fed at one end; outputs: last_v, evenness, lightness_step, current_a
Public Function TwSingleLine(ByVal law As Variant, ByVal load_w_per_m As Variant, ByVal nominal_v As Variant, _
    ByVal knee_v As Variant, ByVal common_ohm_per_m As Variant, ByVal return_ohm_per_m As Variant, _
    ByVal cut_pitch_m As Variant, ByVal measured_m As Variant, ByVal trace_c As Variant, _
    ByVal source_v As Variant, ByVal feed_ohm As Variant, Optional ByVal which As Variant) As Variant
  Dim in_law As Long, in_load_w_per_m As Double, in_nominal_v As Double, in_knee_v As Double, _
    in_common_ohm_per_m As Double, in_return_ohm_per_m As Double, in_cut_pitch_m As Double, _
    in_measured_m As Double, in_trace_c As Double, in_source_v As Double, in_feed_ohm As Double, _
    out_last_v As Double, out_evenness As Double, out_lightness_step As Double, out_current_a As Double, _
    why As TwFault, told As String
  On Error GoTo Failed
  TwSingleLine = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(law, "law", _
    "0 to 2 (0 = resistor-limited, 1 = regulated, 2 = constant power)", in_law, told) Then GoTo Refused
  If Not TwNumber(load_w_per_m, "load_w_per_m", _
    "0.001 to 200 W/m (nominal power of a tape channel per metre)", in_load_w_per_m, told) Then GoTo Refused
  If Not TwNumber(nominal_v, "nominal_v", "3 to 60 V (nominal voltage)", in_nominal_v, told) Then GoTo Refused
  If Not TwNumber(knee_v, "knee_v", _
    "0 to 60 V (voltage below which a channel is dark, or stops regulating)", in_knee_v, told) Then GoTo Refused
  If Not TwNumber(common_ohm_per_m, "common_ohm_per_m", _
    "0 to 10 ohm/m (trace of the tape's common conductor at 20 degC)", in_common_ohm_per_m, told) Then GoTo Refused
  If Not TwNumber(return_ohm_per_m, "return_ohm_per_m", _
    "0 to 10 ohm/m (trace of one channel's own conductor at 20 degC)", in_return_ohm_per_m, told) Then GoTo Refused
  If Not TwNumber(cut_pitch_m, "cut_pitch_m", _
    "0.001 to 5 m (distance between cut marks)", in_cut_pitch_m, told) Then GoTo Refused
  If Not TwNumber(measured_m, "measured_m", _
    "0.001 to 1000 m (length measured on the wall)", in_measured_m, told) Then GoTo Refused
  If Not TwNumber(trace_c, "trace_c", _
    "-60 to 200 degC (conductor temperature)", in_trace_c, told) Then GoTo Refused
  If Not TwNumber(source_v, "source_v", _
    "0.1 to 120 V (direct voltage of the lighting side (IEC 61140: ELV ends at 120 V))", in_source_v, told) Then GoTo Refused
  If Not TwNumber(feed_ohm, "feed_ohm", "0 to 1000000 ohm (resistance)", in_feed_ohm, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_single_line(in_law, in_load_w_per_m, in_nominal_v, in_knee_v, in_common_ohm_per_m, in_return_ohm_per_m, _
    in_cut_pitch_m, in_measured_m, in_trace_c, in_source_v, in_feed_ohm, out_last_v, out_evenness, _
    out_lightness_step, out_current_a, why) <> 0 Then
    told = TwTold(why)
    TwSingleLine = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwSingleLine = TwPick(TwWish(which), Array("last_v", "evenness", "lightness_step", "current_a"), _
    Array(out_last_v, out_evenness, out_lightness_step, out_current_a))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwSingleLine = told
  Exit Function
Failed:
  TwSingleLine = CVErr(TW_VALUE)
End Function

' longest even run of a tape of one channel; outputs: segments, length_m
Public Function TwSingleLongest(ByVal law As Variant, ByVal load_w_per_m As Variant, ByVal nominal_v As Variant, _
    ByVal knee_v As Variant, ByVal common_ohm_per_m As Variant, ByVal return_ohm_per_m As Variant, _
    ByVal cut_pitch_m As Variant, ByVal trace_c As Variant, ByVal source_v As Variant, ByVal feed_ohm As Variant, _
    ByVal least_evenness As Variant, Optional ByVal which As Variant) As Variant
  Dim in_law As Long, in_load_w_per_m As Double, in_nominal_v As Double, in_knee_v As Double, _
    in_common_ohm_per_m As Double, in_return_ohm_per_m As Double, in_cut_pitch_m As Double, in_trace_c As Double, _
    in_source_v As Double, in_feed_ohm As Double, in_least_evenness As Double, out_segments As LongLong, _
    out_length_m As Double, why As TwFault, told As String
  On Error GoTo Failed
  TwSingleLongest = CVErr(TW_VALUE)
  If Not TwReady(told) Then GoTo Refused
  If Not TwWhole(law, "law", _
    "0 to 2 (0 = resistor-limited, 1 = regulated, 2 = constant power)", in_law, told) Then GoTo Refused
  If Not TwNumber(load_w_per_m, "load_w_per_m", _
    "0.001 to 200 W/m (nominal power of a tape channel per metre)", in_load_w_per_m, told) Then GoTo Refused
  If Not TwNumber(nominal_v, "nominal_v", "3 to 60 V (nominal voltage)", in_nominal_v, told) Then GoTo Refused
  If Not TwNumber(knee_v, "knee_v", _
    "0 to 60 V (voltage below which a channel is dark, or stops regulating)", in_knee_v, told) Then GoTo Refused
  If Not TwNumber(common_ohm_per_m, "common_ohm_per_m", _
    "0 to 10 ohm/m (trace of the tape's common conductor at 20 degC)", in_common_ohm_per_m, told) Then GoTo Refused
  If Not TwNumber(return_ohm_per_m, "return_ohm_per_m", _
    "0 to 10 ohm/m (trace of one channel's own conductor at 20 degC)", in_return_ohm_per_m, told) Then GoTo Refused
  If Not TwNumber(cut_pitch_m, "cut_pitch_m", _
    "0.001 to 5 m (distance between cut marks)", in_cut_pitch_m, told) Then GoTo Refused
  If Not TwNumber(trace_c, "trace_c", _
    "-60 to 200 degC (conductor temperature)", in_trace_c, told) Then GoTo Refused
  If Not TwNumber(source_v, "source_v", _
    "0.1 to 120 V (direct voltage of the lighting side (IEC 61140: ELV ends at 120 V))", in_source_v, told) Then GoTo Refused
  If Not TwNumber(feed_ohm, "feed_ohm", "0 to 1000000 ohm (resistance)", in_feed_ohm, told) Then GoTo Refused
  If Not TwNumber(least_evenness, "least_evenness", _
    "0 to 1 (least channel current over greatest along a run)", in_least_evenness, told) Then GoTo Refused
  why.struct_size = TW_FAULT_BYTES
  If c_single_longest(in_law, in_load_w_per_m, in_nominal_v, in_knee_v, in_common_ohm_per_m, in_return_ohm_per_m, _
    in_cut_pitch_m, in_trace_c, in_source_v, in_feed_ohm, in_least_evenness, out_segments, out_length_m, _
    why) <> 0 Then
    told = TwTold(why)
    TwSingleLongest = CVErr(TW_NUM)
    GoTo Refused
  End If
  TwSingleLongest = TwPick(TwWish(which), Array("segments", "length_m"), Array(CDbl(out_segments), out_length_m))
  Exit Function
Refused:
  If TwWish(which) = "why" Then TwSingleLongest = told
  Exit Function
Failed:
  TwSingleLongest = CVErr(TW_VALUE)
End Function
