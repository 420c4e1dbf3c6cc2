package server

import "context"

var errTmp = failure(501, "not yet")

func (s *Server) newStudyText(b NewStudy) ([]byte, string, error) { return nil, "", errTmp }
func (s *Server) getStudies(context.Context, *struct{}) (*struct{ Body StudyList }, error) {
	return nil, errTmp
}
func (s *Server) checkStudy(context.Context, *struct{ Body StudyDraft }) (*struct{ Body *StudyCheck }, error) {
	return nil, errTmp
}
func (s *Server) runStudy(context.Context, *StudyParam) (*struct{ Body *StudyRun }, error) {
	return nil, errTmp
}
func (s *Server) stopStudy(context.Context, *StudyParam) (*struct{ Body *StudyRun }, error) {
	return nil, errTmp
}
func (s *Server) getStudyRun(context.Context, *struct {
	StudyParam
	Front int `query:"front" minimum:"0" maximum:"20000" default:"400" doc:"how many points of the front at most"`
}) (*struct{ Body *StudyRun }, error) {
	return nil, errTmp
}
func (s *Server) forgetStudyRun(context.Context, *StudyParam) (*struct{ Body *StudyRun }, error) {
	return nil, errTmp
}
func (s *Server) studyPoints(context.Context, *struct {
	StudyParam
	Columns []string `query:"columns" maxItems:"60" doc:"keys; left out: what varies and the aims"`
	Most    int      `query:"most" minimum:"1" maximum:"4000000" default:"1000000" doc:"how many candidates at most; of more, every so manieth is taken"`
}) (*download, error) {
	return nil, errTmp
}
func (s *Server) queryStudy(context.Context, *struct {
	StudyParam
	Body StudyQuery
}) (*struct{ Body *StudyRows }, error) {
	return nil, errTmp
}
func (s *Server) getCandidate(context.Context, *CandidateParam) (*struct{ Body *StudyCandidate }, error) {
	return nil, errTmp
}
func (s *Server) keepCandidate(context.Context, *struct {
	CandidateParam
	Body KeepCandidate
}) (*engineAnswer, error) {
	return nil, errTmp
}
func (s *Server) getStudyWords(context.Context, *struct {
	Base string `query:"base" required:"true" maxLength:"250" doc:"engine file in the folder"`
}) (*struct{ Body *StudyWords }, error) {
	return nil, errTmp
}

type CandidateParam struct {
	StudyParam
	Index uint64 `path:"index" doc:"number of the candidate"`
}
